using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

/// <summary>Brings a club's stored answers up to a day, in steps of a few vehicles, each step a transaction of its
/// own.</summary>
internal sealed class NightAssessment(AgeWatchContext db, Recompute recompute, TimeProvider clock)
{
    private static string CurrentRules => PartCatalogue.BuiltIn.Version;

    /// <summary>Called within each step's transaction; what it throws undoes the step.</summary>
    public delegate Task Step(RecomputeCount count, CancellationToken stop);

    /// <summary>What can have changed by the day; everything, when the answers rest on other rules or a full pass is
    /// under way.</summary>
    public async Task RunAsync(Guid clubId, DateOnly day, Step step, CancellationToken stop)
    {
        var pass = await db.FullPasses.AsNoTracking().SingleOrDefaultAsync(stop);
        if (pass is null
            || pass.UnderWay is not null
            || pass.RuleVersion != CurrentRules
            || await HasFutureAsync(stop))
        {
            await FullAsync(clubId, day, step, stop);
        }

        await DueAsync(clubId, day, step, stop);
    }

    /// <summary>Every answer of the club; a pass that broke off goes on where it was, unless the rules have changed
    /// since.</summary>
    public async Task FullAsync(Guid clubId, DateOnly day, Step step, CancellationToken stop)
    {
        var after = await BeginPassAsync(clubId, stop);
        while (true)
        {
            IQueryable<Vehicle> next = db.Vehicles;
            next = after is { } last ? next.Where(v => v.Id > last) : next;
            var ids = await next.OrderBy(v => v.Id).Select(v => v.Id).Take(Recompute.VehiclesAtOnce).ToListAsync(stop);
            if (ids.Count == 0)
            {
                break;
            }

            after = ids[^1];
            Guid?[] page = [.. ids.Cast<Guid?>()];
            await StepAsync(clubId, page, () =>
                recompute.VehiclesAsync(clubId, page, day, stop), async (count, stopStep) =>
            {
                await db.FullPasses.ExecuteUpdateAsync(set => set.SetProperty(p => p.After, after), stopStep);
                await step(count, stopStep);
            }, stop);
        }

        await StepAsync(clubId, [null], () =>
            recompute.VehiclesAsync(clubId, [null], day, stop), async (count, stopStep) =>
        {
            await db.FullPasses.ExecuteUpdateAsync(
                set =>
                    set.SetProperty(p => p.RuleVersion, CurrentRules)
                        .SetProperty(p => p.UnderWay, (string?)null)
                        .SetProperty(p => p.After, (Guid?)null),
                stopStep);
            await step(count, stopStep);
        }, stop);
    }

    /// <summary>How far a full pass has come; null: none is under way.</summary>
    public static async Task<PassProgress?> ProgressAsync(AgeWatchContext db, Guid clubId, CancellationToken stop)
    {
        if (await db.FullPasses.AsNoTracking()
            .SingleOrDefaultAsync(p => p.UnderWay != null, stop) is not { } pass)
        {
            return null;
        }

        var vehicles = db.Vehicles;
        return new(pass.After is { } last
            ? await vehicles.CountAsync(v => v.Id <= last, stop)
            : 0, await vehicles.CountAsync(stop));
    }

    private async Task DueAsync(Guid clubId, DateOnly day, Step step, CancellationToken stop)
    {
        // Ids alone, so that a million components are some hundred kilobytes here.
        var due = await db.DueStates.Where(s => s.NextChangeOn <= day)
            .Select(s => s.VehicleId).Distinct().ToListAsync(stop);
        foreach (var ids in due.OfType<Guid>().Order().Chunk(Recompute.VehiclesAtOnce))
        {
            await StepAsync(clubId, [.. ids.Cast<Guid?>()], () =>
                recompute.DueOfVehiclesAsync(clubId, ids, day, stop), step, stop);
        }

        for (var left = due.Contains(null); left;)
        {
            left = (await StepAsync(clubId, [null], () =>
                recompute.DueOfShelfAsync(clubId, day, stop), step, stop)).Written > 0;
        }
    }

    private async Task<RecomputeCount> StepAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, Func<Task<RecomputeCount>> work, Step step,
        CancellationToken stop)
    {
        stop.ThrowIfCancellationRequested();
        await using var transaction = await db.Database.BeginTransactionAsync(stop);
        await db.LockAsync(clubId, vehicleIds, stop);
        var count = await work();
        await step(count, stop);
        await transaction.CommitAsync(stop);
        db.ChangeTracker.Clear();
        return count;
    }

    /// <summary>Answers for days that have not come were written under a clock that was ahead; they would stand until
    /// it is right.</summary>
    private async Task<bool> HasFutureAsync(CancellationToken stop)
    {
        var zone = await db.Clubs.Select(c => c.TimeZone).SingleAsync(stop);
        var today = clock.Today(zone);
        return await db.NightRuns.AnyAsync(n => n.LocalDate > today, stop);
    }

    private async Task<Guid?> BeginPassAsync(Guid clubId, CancellationToken stop)
    {
        var pass = await db.FullPasses.SingleOrDefaultAsync(stop);
        if (pass is null)
        {
            pass = new() { ClubId = clubId };
            db.Add(pass);
        }

        if (pass.UnderWay != CurrentRules)
        {
            pass.UnderWay = CurrentRules;
            pass.After = null;
        }

        await db.SaveChangesAsync(stop);
        db.Entry(pass).State = EntityState.Detached;
        return pass.After;
    }
}

/// <param name="Vehicles">That it is through with.</param>
/// <param name="Of">Vehicles in all.</param>
internal sealed record PassProgress(int Vehicles, int Of);
