using System.Globalization;
using Hangfire;

namespace AgeWatch.Server.Nights;

/// <summary>What Hangfire calls. It only rings: which night is wanted and who has it, our own tables say.</summary>
[AutomaticRetry(Attempts = 0, LogEvents = false)]
internal sealed class ScheduledJobs(
    PendingNights pending, NightJob night, IBackgroundJobClient jobs, JobStorage storage)
{
    public const string BellQueue = "bells";
    public const string NightQueue = "nights";

    /// <summary>Sends workers to the nights that are wanted.</summary>
    [Queue(BellQueue)]
    public async Task RingNightsAsync(CancellationToken stop)
    {
        // What is in the queue is on its way; a second entry would do no harm, but a thousand each minute would.
        if (storage.GetMonitoringApi().EnqueuedCount(NightQueue) > 0)
        {
            return;
        }

        foreach (var due in await pending.FindAsync(stop))
        {
            Enqueue(jobs, due);
        }
    }

    [Queue(NightQueue)]
    public Task RunNightAsync(Guid clubId, string localDate, CancellationToken stop) =>
        night.RunAsync(clubId, DateOnly.ParseExact(localDate, "O", CultureInfo.InvariantCulture), stop);

    public static void Enqueue(IBackgroundJobClient jobs, DueNight due)
    {
        var day = due.LocalDate.ToString("O", CultureInfo.InvariantCulture);
        jobs.Enqueue<ScheduledJobs>(b => b.RunNightAsync(due.ClubId, day, CancellationToken.None));
    }
}
