using System.Runtime.InteropServices;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

/// <summary><c>--recompute</c>: works out every answer again, beside a running server or without one, writes no digest,
/// and ends.</summary>
/// <remarks>It stands in the place of the day's night, so that no night and no second pass runs over the same club
/// meanwhile.</remarks>
internal sealed class RecomputeCommand(
    AgeWatchContext db, NightLog log, NightAssessment assessment, WorkerName worker, TimeProvider clock)
{
    public const string Switch = "--recompute";

    private static readonly TimeSpan BetweenReports = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(10);

    /// <returns>0 when every club is done, else 1.</returns>
    public static async Task<int> RunAsync(WebApplication app, TextWriter output)
    {
        using CancellationTokenSource stop = new();
        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, End);
        using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, End);
        await using var scope = app.Services.CreateAsyncScope();
        return await ActivatorUtilities.CreateInstance<RecomputeCommand>(scope.ServiceProvider)
            .RunAsync(output, stop.Token)
            ? 0
            : 1;

        void End(PosixSignalContext signal)
        {
            signal.Cancel = true;
            stop.Cancel();
        }
    }

    public async Task<bool> RunAsync(TextWriter output, CancellationToken stop)
    {
        await log.ReleaseDeadAsync(worker, stop);
        var all = true;
        foreach (var club in await db.Clubs.AsNoTracking().AcrossClubs()
            .OrderBy(c => c.CreatedAt)
            .ThenBy(c => c.ClubId)
            .ToListAsync(stop))
        {
            try
            {
                all &= await ClubAsync(club, output, stop);
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                await output.WriteLineAsync($"{club.Name}: stopped; the next pass goes on from here.");
                return false;
            }
        }

        return all;
    }

    private async Task<bool> ClubAsync(Club club, TextWriter output, CancellationToken stop)
    {
        db.EnterClub(club.ClubId);
        var day = clock.Today(club.TimeZone);
        if (await BorrowAsync(club, day, output, stop) is not { } night)
        {
            await output.WriteLineAsync($"{club.Name}: not done, its night is still running. Try again later.");
            return false;
        }

        try
        {
            var begun = clock.GetTimestamp();
            var reported = begun;
            var done = default(RecomputeCount);
            await assessment.FullAsync(
                club.ClubId,
                day,
                async (count, stopStep) =>
                {
                    done += count;
                    await log.CountAsync(night.ClubId, night.LocalDate, night.Holder, stopStep);
                    if (clock.GetElapsedTime(reported) > BetweenReports
                        && await NightAssessment.ProgressAsync(db, club.ClubId, stopStep) is { } pass)
                    {
                        reported = clock.GetTimestamp();
                        await output.WriteLineAsync(
                            $"{club.Name}: {pass.Vehicles} of {pass.Of} vehicles, {Figures(done)}");
                    }
                },
                stop);
            var seconds = clock.GetElapsedTime(begun).TotalSeconds;
            await output.WriteLineAsync($"{club.Name}: done as of {day:yyyy-MM-dd}, {Figures(done)}, {seconds:0.0} s");
            return true;
        }
        catch (NightLostException)
        {
            await output.WriteLineAsync($"{club.Name}: a worker has taken over; its night goes on with the pass.");
            return false;
        }
        finally
        {
            // What was left half-way must not be saved with it, and the stop that ended the pass must not end this.
            db.ChangeTracker.Clear();
            await log.ReturnAsync(night, CancellationToken.None);
        }
    }

    private async Task<BorrowedNight?> BorrowAsync(Club club, DateOnly day, TextWriter output, CancellationToken stop)
    {
        var since = clock.GetTimestamp();
        for (var isFirst = true; ; isFirst = false)
        {
            if (await log.BorrowAsync(club.ClubId, day, worker.ForOneJob(), stop) is { } night)
            {
                return night;
            }

            if (clock.GetElapsedTime(since) > Patience)
            {
                return null;
            }

            if (isFirst)
            {
                await output.WriteLineAsync($"{club.Name}: waiting for its night to end");
            }

            await Task.Delay(BetweenReports, clock, stop);
        }
    }

    private static string Figures(RecomputeCount count) =>
        $"{count.Assessed} answers, {count.Changed} changed, {count.Written} rows written";
}
