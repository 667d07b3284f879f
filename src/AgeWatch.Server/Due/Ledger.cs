using AgeWatch.Server.Http;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Due;

/// <summary>How a change of facts is written down: the facts and what follows from them, in one transaction.</summary>
internal sealed class Ledger(
    AgeWatchContext db, Recompute recompute, IHttpContextAccessor request, TimeProvider clock)
{
    public Task SaveAsync(Guid clubId, Guid vehicleId, CancellationToken stop) => SaveAsync(clubId, [vehicleId], stop);

    /// <param name="vehicleIds">The vehicles whose facts change; null stands for the shelf.</param>
    /// <param name="cause">What else belongs into the transaction and goes before what follows, such as an
    /// event.</param>
    public async Task SaveAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, CancellationToken stop, Func<Task>? cause = null)
    {
        await using var transaction = await db.Database.BeginTransactionAsync(stop);
        var resting = await Dependents.OfAsync(db, clubId, vehicleIds, stop);
        await db.LockAsync(clubId, resting, stop);
        var author = request.HttpContext?.Features.Get<Caller>()?.KeyId;
        var lines = ChangeLog.LinesOf(db.ChangeTracker, author, clock.GetUtcNow());
        await db.SaveChangesAsync(stop);
        if (cause is not null)
        {
            await cause();
        }

        await recompute.VehiclesAsync(clubId, resting, await TodayAsync(clubId, stop), stop);
        await ChangeLog.WriteAsync(db, clubId, lines, stop);
        await transaction.CommitAsync(stop);
    }

    public async Task<DateOnly> TodayAsync(Guid clubId, CancellationToken stop) =>
        clock.Today(await db.Clubs.Where(c => c.ClubId == clubId).Select(c => c.TimeZone).SingleAsync(stop));
}
