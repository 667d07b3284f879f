using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Recording;

/// <summary>Whose answers rest on facts that are about to be saved.</summary>
internal static class Dependents
{
    /// <summary>
    /// The vehicles named by the caller, and wherever the parts are now that have lived on a vehicle of which something
    /// changes: a part's age and distance travel with it. Null stands for the shelf.
    /// </summary>
    /// <remarks>Asked before the changes are saved, while what is to be removed can still be found.</remarks>
    public static async Task<IReadOnlyCollection<Guid?>> OfAsync(
        AgeWatchContext db, Guid clubId, IReadOnlyCollection<Guid?> named, CancellationToken stop)
    {
        HashSet<Guid> changed = [];
        foreach (var entry in db.ChangeTracker.Entries())
        {
            if (entry.State is EntityState.Added or EntityState.Modified or EntityState.Deleted
                && VehicleOf(entry.Entity) is { } vehicleId)
            {
                changed.Add(vehicleId);
            }
        }

        if (changed.Count == 0)
        {
            return named;
        }

        var places = await db.Fittings.AsNoTracking()
            .Where(f => changed.Contains(f.VehicleId))
            .Join(
                db.Components.Where(c => c.Place != ComponentPlace.Discarded),
                fitting => fitting.ComponentId, component => component.Id, (_, component) => component.VehicleId)
            .Distinct()
            .ToListAsync(stop);
        return [.. named.Union(places)];
    }

    /// <summary>Every vehicle that the parts have lived on whose place changes with what is about to be
    /// saved.</summary>
    public static async Task<IReadOnlyCollection<Guid?>> PlacesOfMovedAsync(
        AgeWatchContext db, Guid clubId, CancellationToken stop)
    {
        HashSet<Guid> moved = [];
        foreach (var entry in db.ChangeTracker.Entries<Fitting>())
        {
            if (entry.State is EntityState.Added or EntityState.Modified or EntityState.Deleted)
            {
                moved.Add(entry.Entity.ComponentId);
            }
        }

        return moved.Count == 0 ? [] : await db.Fittings.AsNoTracking()
            .Where(f => moved.Contains(f.ComponentId))
            .Select(f => (Guid?)f.VehicleId)
            .Distinct()
            .ToListAsync(stop);
    }

    private static Guid? VehicleOf(object fact) => fact switch
    {
        Vehicle vehicle => vehicle.Id,
        OdometerReading reading => reading.VehicleId,
        HourReading reading => reading.VehicleId,
        Instrument instrument => instrument.VehicleId,
        VehiclePeriod period => period.VehicleId,
        _ => null,
    };
}
