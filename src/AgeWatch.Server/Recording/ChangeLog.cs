using System.Text.Json;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Changes;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.ChangeTracking;

namespace AgeWatch.Server.Recording;

/// <param name="KeyId">The key that the request was signed with.</param>
/// <param name="MemberId">Whose key it is, or who asked by a link of their own; null: nobody is known.</param>
/// <remarks>Neither is known of what the server writes by itself, as at its first start.</remarks>
internal readonly record struct Author(Guid? KeyId, Guid? MemberId)
{
    public static Author Of(Caller? caller) => new(caller?.KeyId, caller?.MemberId);
}

/// <summary>What is about to be saved, as lines of the change log.</summary>
internal static class ChangeLog
{
    public static async Task<List<ChangeLogLine>> LinesOfAsync(
        AgeWatchContext db, Author author, DateTimeOffset now, CancellationToken stop)
    {
        var changed = db.ChangeTracker.Entries<ITenantRow>()
            .Where(entry => FactKinds.Include(entry.Entity.GetType()) && entry.State is not EntityState.Unchanged)
            .ToList();
        var places = await PlacesOfOwnersAsync(db, changed, stop);
        List<ChangeLogLine> lines = [];
        foreach (var entry in changed)
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
                KeyId = author.KeyId,
                MemberId = author.MemberId,
                Record = entry.Metadata.GetTableName()!,
                RecordId = entry.Entity.Id,
                VehicleId = VehicleOf(entry, places),
                Kind = before is null ? ChangeKind.Added : after is null ? ChangeKind.Removed : ChangeKind.Changed,
                Before = before,
                After = after,
            });
        }

        return lines;
    }

    /// <summary>Last in the transaction, because from here on the club's other writers wait for its end.</summary>
    public static async Task WriteAsync(
        AgeWatchContext db, Guid clubId, IReadOnlyList<ChangeLogLine> lines, CancellationToken stop)
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
        var logged = FactKinds.Of(entry.Entity.GetType());
        if (logged.AreWithheld)
        {
            return """{"withheld":true}""";
        }

        var members = entry.Properties
            .Where(p => logged.Names(p.Metadata.Name) && (entry.State != EntityState.Modified || HasChanged(p)))
            .Select(p => (p.Metadata.Name, Value: isBefore ? p.OriginalValue : p.CurrentValue))
            .Where(p => p.Value is not null || entry.State == EntityState.Modified)
            .ToDictionary(
                p => JsonNamingPolicy.CamelCase.ConvertName(p.Name),
                p => p.Value is not null && logged.Withheld.Contains(p.Name) ? "withheld" : p.Value);
        return JsonSerializer.Serialize(members, WireJson.Options);
    }

    private static bool HasChanged(PropertyEntry property) =>
        property.IsModified
        && !property.Metadata.GetValueComparer().Equals(property.OriginalValue, property.CurrentValue);

    /// <summary>Where the parts and tasks are that something hangs on.</summary>
    private static async Task<Dictionary<Guid, Guid?>> PlacesOfOwnersAsync(
        AgeWatchContext db, List<EntityEntry<ITenantRow>> changed, CancellationToken stop)
    {
        Dictionary<Guid, Guid?> places = [];
        foreach (var entry in db.ChangeTracker.Entries<Component>())
        {
            places[entry.Entity.Id] = entry.Entity.VehicleId;
        }

        foreach (var entry in db.ChangeTracker.Entries<ServiceTask>())
        {
            places[entry.Entity.Id] = entry.Entity.VehicleId;
        }

        foreach (var some in changed.Select(OwnerOf).OfType<Guid>().Where(id => !places.ContainsKey(id)).Chunk(1000))
        {
            var clubId = changed[0].Entity.ClubId;
            var parts = await db.Components.AsNoTracking()
                .Where(c => some.Contains(c.Id))
                .Select(c => new { c.Id, c.VehicleId })
                .ToListAsync(stop);
            var tasks = await db.ServiceTasks.AsNoTracking()
                .Where(t => some.Contains(t.Id))
                .Select(t => new { t.Id, VehicleId = (Guid?)t.VehicleId })
                .ToListAsync(stop);
            foreach (var place in parts.Concat(tasks))
            {
                places[place.Id] = place.VehicleId;
            }
        }

        return places;
    }

    private static Guid? VehicleOf(EntityEntry<ITenantRow> entry, Dictionary<Guid, Guid?> places) =>
        entry.Entity is Vehicle vehicle ? vehicle.Id
        : Value(entry, nameof(Component.VehicleId))
            ?? (OwnerOf(entry) is { } owner ? places.GetValueOrDefault(owner) : null);

    private static Guid? OwnerOf(EntityEntry<ITenantRow> entry) =>
        Value(entry, nameof(InspectionFinding.ComponentId)) ?? Value(entry, nameof(InspectionFinding.ServiceTaskId));

    private static Guid? Value(EntityEntry<ITenantRow> entry, string property) =>
        entry.Metadata.FindProperty(property) is { } known ? entry.Property(known).CurrentValue as Guid? : null;
}
