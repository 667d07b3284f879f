using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;

namespace AgeWatch.Server.Recording;

/// <summary>How a change of facts is written down: the facts and what follows from them, in one transaction.</summary>
internal sealed class FactWriter(
    AgeWatchContext db, Recompute recompute, IHttpContextAccessor request, TimeProvider clock)
{
    public Task SaveAsync(Guid clubId, Guid vehicleId, CancellationToken stop) => SaveAsync(clubId, [vehicleId], stop);

    /// <param name="vehicleIds">The vehicles whose facts change; null stands for the shelf.</param>
    /// <param name="cause">What else belongs into the transaction and goes before what follows, such as an
    /// event.</param>
    public async Task SaveAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, CancellationToken stop, Func<Task>? cause = null)
    {
        var (transaction, resting) = await BeginAsync(clubId, vehicleIds, stop);
        await using var held = transaction;
        var author = request.HttpContext?.Features.Get<Caller>()?.KeyId;
        var lines = await ChangeLog.LinesOfAsync(db, author, clock.GetUtcNow(), stop);
        await db.SaveChangesAsync(stop);
        if (cause is not null)
        {
            await cause();
        }

        await recompute.VehiclesAsync(clubId, resting, await TodayAsync(clubId, stop), stop);
        await ChangeLog.WriteAsync(db, clubId, lines, stop);
        await transaction.CommitAsync(stop);
    }

    // Between the question whose answers rest on the facts and the lock, a part can move to a car that is not locked. A
    // move waits for every car that the part has lived on, so what was asked before the lock is asked again behind it.
    private async Task<(IDbContextTransaction Transaction, IReadOnlyCollection<Guid?> Resting)> BeginAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, CancellationToken stop)
    {
        while (true)
        {
            var transaction = await db.Database.BeginTransactionAsync(stop);
            try
            {
                var resting = await Dependents.OfAsync(db, clubId, vehicleIds, stop);
                var lived = await Dependents.PlacesOfMovedAsync(db, clubId, stop);
                await db.LockAsync(clubId, resting.Union(lived), stop);
                var now = await Dependents.OfAsync(db, clubId, vehicleIds, stop);
                if (!now.Except(resting).Any())
                {
                    return (transaction, resting);
                }
            }
            catch
            {
                await transaction.DisposeAsync();
                throw;
            }

            await transaction.DisposeAsync();
        }
    }

    public async Task<DateOnly> TodayAsync(Guid clubId, CancellationToken stop) =>
        clock.Today(await db.Clubs.Select(c => c.TimeZone).SingleAsync(stop));
}
