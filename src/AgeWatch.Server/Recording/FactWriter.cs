using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;

namespace AgeWatch.Server.Recording;

/// <summary>
/// The one way in for facts: the rows that the context holds, a line of the change log for each, what rests on them
/// worked out again and the events of that, in one transaction.
/// </summary>
internal sealed class FactWriter(
    AgeWatchContext db, Recompute recompute, IHttpContextAccessor request, TimeProvider clock)
{
    /// <summary>Saves what belongs to no vehicle, such as a key.</summary>
    public Task SaveAsync(Guid clubId, CancellationToken stop) => SaveAsync(clubId, [], stop);

    public Task SaveAsync(Guid clubId, Guid vehicleId, CancellationToken stop) => SaveAsync(clubId, [vehicleId], stop);

    /// <param name="vehicleIds">The vehicles whose facts change; null stands for the shelf.</param>
    /// <param name="cause">What else belongs into the transaction and goes before what follows, such as an
    /// event.</param>
    public Task SaveAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, CancellationToken stop, Func<Task>? cause = null) =>
        SaveAsync(clubId, vehicleIds, AuthorOfRequest(), cause, stop);

    /// <summary>Changes a row as it stands now, whoever has just changed it: for a wish that no other change can undo,
    /// such as to be sent no more mail.</summary>
    /// <param name="by">Who asks without a key; null: the caller.</param>
    /// <param name="cause">See <see cref="SaveAsync(Guid, IReadOnlyCollection{Guid?}, CancellationToken,
    /// Func{Task}?)"/>.</param>
    /// <returns>False: there is no such row.</returns>
    public async Task<bool> ChangeAsync<T>(
        Guid clubId, Guid id, Action<T> change, CancellationToken stop, Guid? by = null, Func<Task>? cause = null)
        where T : class, ITenantRow
    {
        while (true)
        {
            if (await db.Set<T>().SingleOrDefaultAsync(r => r.Id == id, stop) is not { } row)
            {
                return false;
            }

            change(row);
            try
            {
                await SaveAsync(clubId, [], by is { } member ? new(null, member) : AuthorOfRequest(), cause, stop);
                return true;
            }
            catch (DbUpdateConcurrencyException)
            {
                db.ChangeTracker.Clear();
            }
        }
    }

    public async Task<DateOnly> TodayAsync(Guid clubId, CancellationToken stop) =>
        clock.Today(await db.Clubs.Select(c => c.TimeZone).SingleAsync(stop));

    private Author AuthorOfRequest() => Author.Of(request.HttpContext?.Features.Get<Caller>());

    private async Task SaveAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, Author author, Func<Task>? cause, CancellationToken stop)
    {
        var (transaction, resting) = await BeginAsync(clubId, vehicleIds, stop);
        await using var held = transaction;
        await Removals.SpreadAsync(db, stop);
        var lines = await ChangeLog.LinesOfAsync(db, author, clock.GetUtcNow(), stop);
        await db.SaveChangesAsync(stop);
        if (cause is not null)
        {
            await cause();
        }

        if (resting.Count > 0)
        {
            await recompute.VehiclesAsync(clubId, resting, await TodayAsync(clubId, stop), stop);
        }

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
}
