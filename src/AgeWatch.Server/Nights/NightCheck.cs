using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Storage;
using AgeWatch.Storage.Nights;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace AgeWatch.Server.Nights;

/// <summary>Tells a worker without a pulse, and a night that should have been over long ago.</summary>
internal sealed class NightCheck(AgeWatchContext db, WorkerName worker, RoleOptions role, TimeProvider clock)
    : IHealthCheck
{
    public static readonly TimeSpan Silent = 4 * WorkerPulse.Every;

    /// <summary>After the night's hour, or after this process's start when that was later.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromHours(2);

    public async Task<HealthCheckResult> CheckHealthAsync(
        HealthCheckContext context, CancellationToken cancellationToken = default)
    {
        var now = clock.GetUtcNow().UtcDateTime;
        if (role.IsWorker)
        {
            var beat = await db.WorkerHeartbeats.AsNoTracking()
                .SingleOrDefaultAsync(h => h.Worker == worker.Value, cancellationToken);
            if (now - (beat?.At ?? worker.StartedAt) > Silent)
            {
                return HealthCheckResult.Degraded("The worker has no pulse.");
            }
        }

        return await CountLateAsync(now, cancellationToken) > 0
            ? HealthCheckResult.Degraded("A night is stuck.")
            : HealthCheckResult.Healthy();
    }

    /// <summary>How many clubs have a night that should have been over long ago.</summary>
    public async Task<int> CountLateAsync(DateTime now, CancellationToken stop)
    {
        var clubs = await db.Clubs.AsNoTracking().AcrossClubs().ToListAsync(stop);
        var due = clubs.Select(club => (Club: club, Night: PendingNights.Latest(club, now)))
            .Where(due => due.Night is not null)
            .ToList();
        var days = due.Select(d => d.Night!.LocalDate).Distinct().ToList();
        var runs = await db.NightRuns.AsNoTracking().AcrossClubs().Where(n => days.Contains(n.LocalDate))
            .ToDictionaryAsync(n => new DueNight(n.ClubId, n.LocalDate), stop);
        return due.Count(d => IsStuck(d.Club, d.Night!, runs.GetValueOrDefault(d.Night!), now));
    }

    private bool IsStuck(Storage.Clubs.Club club, DueNight night, NightRun? run, DateTime now)
    {
        if (run is { Status: NightRunStatus.Done } || (run is not null && NightLog.IsAlive(run, now)))
        {
            return false;
        }

        var hour = ClubClock.NightOf(night.LocalDate, club.TimeZone, club.NightMinute)!.Value;
        return run is { Status: NightRunStatus.Failed, Attempts: >= NightLog.MostAttempts }
            || now - (hour > worker.StartedAt ? hour : worker.StartedAt) > Patience;
    }
}
