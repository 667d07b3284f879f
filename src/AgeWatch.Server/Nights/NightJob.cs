using System.Data.Common;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

/// <summary>One night of one club. It can be killed at any point and begun again: what is done is seen in the tables
/// and not done twice.</summary>
internal sealed class NightJob(
    AgeWatchContext db, NightLog log, NightAssessment assessment, NightDigests digests, WorkerName worker,
    ILogger<NightJob> logger)
{
    /// <returns>False: the night is done, or in another's hands.</returns>
    public async Task<bool> RunAsync(Guid clubId, DateOnly localDate, CancellationToken stop)
    {
        db.EnterClub(clubId);
        var holder = worker.ForOneJob();
        if (!await log.TakeAsync(clubId, localDate, holder, stop))
        {
            return false;
        }

        NightLease lease = new(log, clubId, localDate, holder);
        try
        {
            await assessment.RunAsync(
                clubId, localDate, (count, stopStep) =>
                    lease.CountAsync(stopStep, assessed: count.Assessed, changed: count.Changed), stop);
            await digests.RunAsync(lease, stop);
            await log.FinishAsync(clubId, localDate, holder, stop);
        }
        catch (NightLostException)
        {
            logger.LogWarning("The night of {LocalDate} was taken over by another worker", localDate);
            return false;
        }
        catch (Exception fault)
        {
            // The fault may have left half a unit of work behind, and the stop that ended the night must not end this.
            db.ChangeTracker.Clear();
            if (stop.IsCancellationRequested)
            {
                await log.GiveBackAsync(clubId, localDate, holder, CancellationToken.None);
            }
            else
            {
                await log.FailAsync(
                    clubId, localDate, holder, $"{fault.GetType().Name}: {fault.Message}", CancellationToken.None);
            }

            throw;
        }

        try
        {
            await db.TakeStatisticsAsync(stop);
        }
        catch (DbException fault)
        {
            // Without them the next day is slower and not wrong; the night is done.
            logger.LogWarning(fault, "The database's statistics were not taken");
        }

        var run = await db.NightRuns.AsNoTracking()
            .SingleAsync(n => n.LocalDate == localDate, stop);
        logger.LogInformation(
            "Night of {LocalDate}: {Assessed} assessed, {Changed} changed, {Digests} digests", localDate, run.Assessed,
            run.Changed, run.Digests);
        return true;
    }
}

/// <summary>The right to write for a night, checked in the transaction that writes.</summary>
internal sealed record NightLease(NightLog Log, Guid ClubId, DateOnly LocalDate, string Holder)
{
    /// <exception cref="NightLostException">The night is in another's hands.</exception>
    public Task CountAsync(CancellationToken stop, int assessed = 0, int changed = 0, int digests = 0) =>
        Log.CountAsync(ClubId, LocalDate, Holder, stop, assessed, changed, digests);
}
