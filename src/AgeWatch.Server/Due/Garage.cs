using System.Collections.ObjectModel;
using AgeWatch.Core;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Due;

/// <summary>Everything remembered about one vehicle that an answer can rest on; without a vehicle: the shelf.</summary>
internal sealed record Garage(
    Vehicle? Vehicle,
    IReadOnlyList<Instrument> Instruments,
    IReadOnlyList<OdometerReading> Readings,
    IReadOnlyList<HourReading> Hours,
    IReadOnlyList<VehiclePeriod> Periods,
    IReadOnlyList<StoredComponent> Components,
    IReadOnlyList<StoredTask> Tasks)
{
    /// <summary>The club's figure for a year's use of such vehicles; null: it has none.</summary>
    public long? UsualMetresPerYear { get; init; }

    /// <summary>Since when it stands with no end on record; null: it does not.</summary>
    public DateOnly? StillStandingFrom { get; } = Periods.Where(p => p is { Kind: VehiclePeriodKind.Standing, UntilOn: null }).Min(p => (DateOnly?)p.FromOn);

    /// <summary>One query a table, however many vehicles; in the order of the ids.</summary>
    public static async Task<List<Garage>> LoadAsync(
        AgeWatchContext db, Guid clubId, IReadOnlyCollection<Guid> vehicleIds, CancellationToken stop)
    {
        var vehicles = await db.Vehicles.AsNoTracking()
            .Where(v => v.ClubId == clubId && vehicleIds.Contains(v.Id)).OrderBy(v => v.Id).ToListAsync(stop);
        var instruments = await db.Instruments.AsNoTracking()
            .Where(i => i.ClubId == clubId && vehicleIds.Contains(i.VehicleId)).ToListAsync(stop);
        var readings = await db.OdometerReadings.AsNoTracking()
            .Where(r => r.ClubId == clubId && vehicleIds.Contains(r.VehicleId)).OrderBy(r => r.ReadOn).ThenBy(r => r.Id).ToListAsync(stop);
        var hours = await db.HourReadings.AsNoTracking()
            .Where(r => r.ClubId == clubId && vehicleIds.Contains(r.VehicleId)).OrderBy(r => r.ReadOn).ThenBy(r => r.Id).ToListAsync(stop);
        var periods = await db.VehiclePeriods.AsNoTracking()
            .Where(p => p.ClubId == clubId && vehicleIds.Contains(p.VehicleId)).ToListAsync(stop);
        var components = await LoadComponentsAsync(
            db, clubId, db.Components.Where(c => c.ClubId == clubId && c.VehicleId != null && vehicleIds.Contains(c.VehicleId.Value)), stop);
        var tasks = await LoadTasksAsync(db, clubId, vehicleIds, stop);
        var usual = await db.UsualDistances.AsNoTracking().Where(u => u.ClubId == clubId).ToDictionaryAsync(u => u.Kind, u => (long?)u.Metres, stop);

        var instrumentsOf = instruments.ToLookup(i => i.VehicleId);
        var readingsOf = readings.ToLookup(r => r.VehicleId);
        var hoursOf = hours.ToLookup(r => r.VehicleId);
        var periodsOf = periods.ToLookup(p => p.VehicleId);
        var componentsOf = components.ToLookup(c => c.Row.VehicleId!.Value);
        var tasksOf = tasks.ToLookup(t => t.Row.VehicleId);
        return [.. vehicles.Select(v => new Garage(
            v, [.. instrumentsOf[v.Id]], [.. readingsOf[v.Id]], [.. hoursOf[v.Id]], [.. periodsOf[v.Id]], [.. componentsOf[v.Id]], [.. tasksOf[v.Id]])
        {
            UsualMetresPerYear = usual.GetValueOrDefault(v.Kind),
        })];
    }

    /// <param name="some">Which parts of the shelf; null: all.</param>
    public static async Task<Garage> LoadShelfAsync(
        AgeWatchContext db, Guid clubId, CancellationToken stop, Func<IQueryable<Component>, IQueryable<Component>>? some = null)
    {
        var shelf = db.Components.Where(c => c.ClubId == clubId && c.Place == ComponentPlace.Shelf);
        return new(null, [], [], [], [], await LoadComponentsAsync(db, clubId, some is null ? shelf : some(shelf), stop), []);
    }

    private static async Task<List<StoredComponent>> LoadComponentsAsync(
        AgeWatchContext db, Guid clubId, IQueryable<Component> wanted, CancellationToken stop)
    {
        var components = await wanted.AsNoTracking().OrderBy(c => c.Id).ToListAsync(stop);
        if (components.Count == 0)
        {
            return [];
        }

        var ids = wanted.Select(c => c.Id);
        var evidence = await db.Evidence.AsNoTracking()
            .Where(e => e.ClubId == clubId && e.WithdrawnAt == null && ids.Contains(e.ComponentId)).OrderBy(e => e.Id).ToListAsync(stop);
        var fittings = await db.Fittings.AsNoTracking()
            .Where(f => f.ClubId == clubId && ids.Contains(f.ComponentId)).OrderBy(f => f.FittedOn).ThenBy(f => f.Id).ToListAsync(stop);
        var findings = await db.Findings.AsNoTracking()
            .Where(f => f.ClubId == clubId && f.WithdrawnAt == null && f.ComponentId != null && ids.Contains(f.ComponentId.Value)).ToListAsync(stop);
        var deferrals = await db.Deferrals.AsNoTracking()
            .Where(d => d.ClubId == clubId && d.EndedAt == null && d.ComponentId != null && ids.Contains(d.ComponentId.Value)).ToListAsync(stop);
        var limits = await db.Limits.AsNoTracking()
            .Where(l => l.ClubId == clubId && l.ComponentId != null && ids.Contains(l.ComponentId.Value)).ToListAsync(stop);

        var builtOf = await LoadBuiltAsync(db, clubId, components, fittings, stop);

        var evidenceOf = evidence.ToLookup(e => e.ComponentId);
        var fittingsOf = fittings.ToLookup(f => f.ComponentId);
        var findingsOf = findings.ToLookup(f => f.ComponentId!.Value);
        var deferralsOf = deferrals.ToLookup(d => d.ComponentId!.Value);
        var limitsOf = limits.ToLookup(l => l.ComponentId!.Value);
        return [.. components.Select(c => new StoredComponent(
            c, [.. evidenceOf[c.Id]], [.. fittingsOf[c.Id]], [.. findingsOf[c.Id]], [.. deferralsOf[c.Id]], [.. limitsOf[c.Id]], builtOf))];
    }

    // A part that has moved is judged by the vehicle it was first on; most never have, and need no query.
    private static async Task<IReadOnlyDictionary<Guid, DateSpan?>> LoadBuiltAsync(
        AgeWatchContext db, Guid clubId, List<Component> components, List<Fitting> fittings, CancellationToken stop)
    {
        var now = components.ToDictionary(c => c.Id, c => c.VehicleId);
        var elsewhere = fittings.Where(f => now[f.ComponentId] != f.VehicleId).Select(f => f.VehicleId).Distinct().ToList();
        return elsewhere.Count == 0
            ? ReadOnlyDictionary<Guid, DateSpan?>.Empty
            : await db.Vehicles.AsNoTracking().Where(v => v.ClubId == clubId && elsewhere.Contains(v.Id)).ToDictionaryAsync(v => v.Id, v => v.Built, stop);
    }

    private static async Task<List<StoredTask>> LoadTasksAsync(
        AgeWatchContext db, Guid clubId, IReadOnlyCollection<Guid> vehicleIds, CancellationToken stop)
    {
        var wanted = db.ServiceTasks.Where(t => t.ClubId == clubId && vehicleIds.Contains(t.VehicleId));
        var tasks = await wanted.AsNoTracking().OrderBy(t => t.Id).ToListAsync(stop);
        if (tasks.Count == 0)
        {
            return [];
        }

        var ids = wanted.Select(t => t.Id);
        var records = await db.ServiceRecords.AsNoTracking()
            .Where(r => r.ClubId == clubId && ids.Contains(r.ServiceTaskId)).OrderBy(r => r.DoneOn).ThenBy(r => r.Id).ToListAsync(stop);
        var findings = await db.Findings.AsNoTracking()
            .Where(f => f.ClubId == clubId && f.WithdrawnAt == null && f.ServiceTaskId != null && ids.Contains(f.ServiceTaskId.Value)).ToListAsync(stop);
        var deferrals = await db.Deferrals.AsNoTracking()
            .Where(d => d.ClubId == clubId && d.EndedAt == null && d.ServiceTaskId != null && ids.Contains(d.ServiceTaskId.Value)).ToListAsync(stop);
        var limits = await db.Limits.AsNoTracking()
            .Where(l => l.ClubId == clubId && l.ServiceTaskId != null && ids.Contains(l.ServiceTaskId.Value)).ToListAsync(stop);

        var recordsOf = records.ToLookup(r => r.ServiceTaskId);
        var findingsOf = findings.ToLookup(f => f.ServiceTaskId!.Value);
        var deferralsOf = deferrals.ToLookup(d => d.ServiceTaskId!.Value);
        var limitsOf = limits.ToLookup(l => l.ServiceTaskId!.Value);
        return [.. tasks.Select(t => new StoredTask(
            t, [.. recordsOf[t.Id]], [.. findingsOf[t.Id]], [.. deferralsOf[t.Id]], [.. limitsOf[t.Id]]))];
    }
}

internal sealed record StoredComponent(
    Component Row,
    IReadOnlyList<EvidenceRow> Evidence,
    IReadOnlyList<Fitting> Fittings,
    IReadOnlyList<FindingRow> Findings,
    IReadOnlyList<DeferralRow> Deferrals,
    IReadOnlyList<LimitRow> Limits,
    IReadOnlyDictionary<Guid, DateSpan?> BuiltElsewhere);

internal sealed record StoredTask(
    ServiceTask Row,
    IReadOnlyList<ServiceRecord> Records,
    IReadOnlyList<FindingRow> Findings,
    IReadOnlyList<DeferralRow> Deferrals,
    IReadOnlyList<LimitRow> Limits);
