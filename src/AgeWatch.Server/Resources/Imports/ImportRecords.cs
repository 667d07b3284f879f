using AgeWatch.Core;
using AgeWatch.Core.Marks;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>What the club has already, tracked, and what a sheet adds to it.</summary>
internal sealed class ImportRecords
{
    public required Guid ClubId { get; init; }

    public required DateTime Now { get; init; }

    public required DateOnly Today { get; init; }

    /// <summary>The conventions that the club has described itself.</summary>
    public required IReadOnlyList<MarkConvention> OwnConventions { get; init; }

    public required List<Member> Members { get; init; }

    public required List<Vehicle> Vehicles { get; init; }

    public required Dictionary<Guid, List<Instrument>> Instruments { get; init; }

    public required Dictionary<Guid, List<OdometerReading>> Readings { get; init; }

    public required List<Component> Components { get; init; }

    public required Dictionary<Guid, List<EvidenceItem>> Evidence { get; init; }

    public required Dictionary<Guid, List<Fitting>> Fittings { get; init; }

    public required List<ServiceTask> Tasks { get; init; }

    public required Dictionary<Guid, List<ServiceRecord>> Records { get; init; }

    public static async Task<ImportRecords> OpenAsync(
        AgeWatchContext db, Guid clubId, DateTime now, DateOnly today, CancellationToken stop) => new()
        {
            ClubId = clubId,
            Now = now,
            Today = today,
            OwnConventions = await Answers.OwnConventions.OfAsync(db, clubId, stop),
            Members = await db.Members.ToListAsync(stop),
            Vehicles = await db.Vehicles.ToListAsync(stop),
            Instruments = Group(await db.Instruments.ToListAsync(stop), i =>
                i.VehicleId),
            Readings = Group(await db.OdometerReadings.ToListAsync(stop), r =>
                r.VehicleId),
            Components = await db.Components.ToListAsync(stop),
            Evidence = Group(
                await db.Evidence.Where(e => e.WithdrawnAt == null).ToListAsync(stop), e =>
                    e.ComponentId),
            Fittings = Group(await db.Fittings.ToListAsync(stop), f => f.ComponentId),
            Tasks = await db.ServiceTasks.ToListAsync(stop),
            Records = Group(await db.ServiceRecords.ToListAsync(stop), r =>
                r.ServiceTaskId),
        };

    /// <summary>A vehicle by its reference, else by its registration.</summary>
    public Vehicle? FindVehicle(string name) =>
        Vehicles.Find(v => v.Reference == name)
        ?? (Vehicles.FindAll(v => string.Equals(v.Registration, name, StringComparison.OrdinalIgnoreCase)) is [var only]
            ? only
            : null);

    public static List<T> Of<T>(Dictionary<Guid, List<T>> rows, Guid owner)
    {
        if (!rows.TryGetValue(owner, out var list))
        {
            rows[owner] = list = [];
        }

        return list;
    }

    public static long? Thousandths((decimal Value, DistanceUnit? Unit)? odometer) =>
        odometer is { } shown ? (long)decimal.Round(shown.Value * 1000m) : null;

    private static Dictionary<Guid, List<T>> Group<T>(IEnumerable<T> rows, Func<T, Guid> owner) =>
        rows.GroupBy(owner).ToDictionary(group => group.Key, group => group.ToList());
}
