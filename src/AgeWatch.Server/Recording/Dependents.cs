using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Marks;
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
        var changed = Changed<object>(db).Select(VehicleOf).OfType<Guid>().ToHashSet();
        named = [.. named.Union(await OfTheClubAsync(db, clubId, stop))];
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
        var moved = Changed<Fitting>(db).Select(fitting => fitting.ComponentId).ToHashSet();
        return moved.Count == 0 ? [] : await db.Fittings.AsNoTracking()
            .Where(f => moved.Contains(f.ComponentId))
            .Select(f => (Guid?)f.VehicleId)
            .Distinct()
            .ToListAsync(stop);
    }

    /// <summary>What rests on a fact that is no vehicle's own.</summary>
    private static async Task<IEnumerable<Guid?>> OfTheClubAsync(
        AgeWatchContext db, Guid clubId, CancellationToken stop)
    {
        var vehicles = db.Vehicles.Where(v => v.ClubId == clubId);

        // Every undeclared mark of the club may now read otherwise.
        if (Changed<ClubConvention>(db).Any())
        {
            return [null, .. await vehicles.Select(v => (Guid?)v.Id).ToListAsync(stop)];
        }

        // What an owner declares stands before the club's figure, so only the others are touched.
        var kinds = Changed<UsualDistance>(db).Select(usual => usual.Kind).ToList();
        return kinds.Count == 0 ? [] : await vehicles
            .Where(v => kinds.Contains(v.Kind) && v.DeclaredMetresPerYear == null)
            .Select(v => (Guid?)v.Id)
            .ToListAsync(stop);
    }

    private static IEnumerable<T> Changed<T>(AgeWatchContext db)
        where T : class =>
        db.ChangeTracker.Entries<T>()
            .Where(entry => entry.State is EntityState.Added or EntityState.Modified or EntityState.Deleted)
            .Select(entry => entry.Entity);

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
