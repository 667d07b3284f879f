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
            .Where(f => f.ClubId == clubId && changed.Contains(f.VehicleId))
            .Join(
                db.Components.Where(c => c.ClubId == clubId && c.Place != ComponentPlace.Discarded),
                fitting => fitting.ComponentId, component => component.Id, (_, component) => component.VehicleId)
            .Distinct()
            .ToListAsync(stop);
        return [.. named.Union(places)];
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
