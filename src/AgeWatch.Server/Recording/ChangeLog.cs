using System.Text.Json;
using AgeWatch.Server.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Changes;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.ChangeTracking;

namespace AgeWatch.Server.Recording;

/// <summary>What is about to be saved, as lines of the change log.</summary>
internal static class ChangeLog
{
    // They tell of the row, not of the fact.
    private static readonly HashSet<string> Unsaid = [
        nameof(ITenantRow.ClubId), nameof(ITenantRow.Id), nameof(IVersioned.Version), nameof(Vehicle.CreatedAt),
        nameof(Vehicle.UpdatedAt)];

    /// <param name="keyId">Who tells it; null: the server itself.</param>
    public static List<ChangeRow> LinesOf(ChangeTracker tracker, Guid? keyId, DateTimeOffset now)
    {
        List<ChangeRow> lines = [];
        foreach (var entry in tracker.Entries<ITenantRow>())
        {
            var hadBefore = entry.State is EntityState.Modified or EntityState.Deleted;
            var hasAfter = entry.State is EntityState.Modified or EntityState.Added;
            var before = hadBefore ? Json(entry, isBefore: true) : null;
            var after = hasAfter ? Json(entry, isBefore: false) : null;

            // A part is touched whenever something that hangs on it changes; that is no change of its own.
            if ((before ?? after) is null or "{}")
            {
                continue;
            }

            lines.Add(new()
            {
                ClubId = entry.Entity.ClubId,
                At = now.UtcDateTime,
                KeyId = keyId,
                Record = entry.Metadata.GetTableName()!,
                RecordId = entry.Entity.Id,
                VehicleId = VehicleOf(entry),
                Kind = before is null ? ChangeKind.Added : after is null ? ChangeKind.Removed : ChangeKind.Changed,
                Before = before,
                After = after,
            });
        }

        return lines;
    }

    /// <summary>Last in the transaction, because from here on the club's other writers wait for its end.</summary>
    public static async Task WriteAsync(
        AgeWatchContext db, Guid clubId, IReadOnlyList<ChangeRow> lines, CancellationToken stop)
    {
        if (lines.Count == 0)
        {
            return;
        }

        var sequence = await db.TakeSequenceAsync(clubId, ClubCounter.Changes, lines.Count, stop);
        foreach (var line in lines)
        {
            line.Sequence = sequence++;
        }

        await db.PutAsync(lines, stop);
    }

    private static string Json(EntityEntry<ITenantRow> entry, bool isBefore)
    {
        // A person can ask to be forgotten: that the record changed is kept, what it said is not.
        if (entry.Entity is Member)
        {
            return """{"withheld":true}""";
        }

        var members = entry.Properties
            .Where(p => !Unsaid.Contains(p.Metadata.Name) && (entry.State != EntityState.Modified || HasChanged(p)))
            .Select(p => (p.Metadata.Name, Value: isBefore ? p.OriginalValue : p.CurrentValue))
            .Where(p => p.Value is not null || entry.State == EntityState.Modified)
            .ToDictionary(p => JsonNamingPolicy.CamelCase.ConvertName(p.Name), p => p.Value);
        return JsonSerializer.Serialize(members, WireJson.Options);
    }

    private static bool HasChanged(PropertyEntry property) =>
        property.IsModified
        && !property.Metadata.GetValueComparer().Equals(property.OriginalValue, property.CurrentValue);

    private static Guid? VehicleOf(EntityEntry<ITenantRow> entry) => entry.Entity switch
    {
        Vehicle vehicle => vehicle.Id,
        Component component => component.VehicleId,
        ServiceTask task => task.VehicleId,
        _ => entry.Metadata.FindProperty(nameof(Component.VehicleId)) is { } vehicle
            ? entry.Property(vehicle).CurrentValue as Guid?
            : null,
    };
}
