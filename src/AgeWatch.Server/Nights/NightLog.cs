using AgeWatch.Storage;
using AgeWatch.Storage.Nights;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

/// <summary>The worker no longer holds the night: another has taken it over, and what this one does must not be
/// committed.</summary>
internal sealed class NightLostException() : Exception("Another worker has taken this night over.");

/// <param name="Status">As it was found; null: there was no night yet.</param>
internal sealed record BorrowedNight(Guid ClubId, DateOnly LocalDate, string Holder, NightRunStatus? Status);

/// <summary>Who may work on a night. Every step is one conditional update, so that of two workers one always
/// loses.</summary>
internal sealed class NightLog(AgeWatchContext db, TimeProvider clock)
{
    public const int MostAttempts = 8;

    /// <summary>A holder that has been silent for so long is dead. Steps are far shorter than this.</summary>
    public static readonly TimeSpan Stale = TimeSpan.FromMinutes(3);

    private const int LongestError = 4000;

    private DateTime Now => clock.GetUtcNow().UtcDateTime;

    /// <summary>Whether a worker should be sent to this night now.</summary>
    public static bool IsWanted(NightRun? run, DateTime now) => run switch
    {
        null => true,
        { Status: NightRunStatus.Done } => false,
        { Status: NightRunStatus.Waiting } => true,
        { Status: NightRunStatus.Running } => !IsAlive(run, now),
        { Attempts: >= MostAttempts } => false,

        // A clock that was set back must not make anyone wait for the old time.
        _ => run.HeartbeatAt is not { } failed || failed > now || failed + PauseAfter(run.Attempts) <= now,
    };

    public static bool IsAlive(NightRun run, DateTime now) =>
        run is { Status: NightRunStatus.Running, HeartbeatAt: { } seen } && (now - seen).Duration() < Stale;

    /// <summary>Takes a night that is missing, waiting, failed or left by a dead holder.</summary>
    /// <returns>False: it is done, or in another's hands.</returns>
    public async Task<bool> TakeAsync(Guid clubId, DateOnly localDate, string holder, CancellationToken stop)
    {
        var run = await Run(localDate).AsNoTracking().SingleOrDefaultAsync(stop);
        if (run is null)
        {
            return await AddAsync(clubId, localDate, NightRunStatus.Running, holder, stop);
        }

        if (run.Status == NightRunStatus.Done || IsAlive(run, Now))
        {
            return false;
        }

        var now = Now;
        return await Run(localDate).Where(n => n.Version == run.Version).ExecuteUpdateAsync(
            set => set.SetProperty(n => n.Status, NightRunStatus.Running)
                .SetProperty(n => n.Worker, holder)
                .SetProperty(n => n.HeartbeatAt, now)
                .SetProperty(n => n.FinishedAt, (DateTime?)null)
                .SetProperty(n => n.Attempts, n => n.Attempts + 1)
                .SetProperty(n => n.Version, n => n.Version + 1),
            stop) == 1;
    }

    /// <summary>Takes the place of the day's night for other work on the same answers, whatever has become of the
    /// night.</summary>
    /// <returns>What <see cref="ReturnAsync"/> wants back; null: another holds it.</returns>
    public async Task<BorrowedNight?> BorrowAsync(
        Guid clubId, DateOnly localDate, string holder, CancellationToken stop)
    {
        var run = await Run(localDate).AsNoTracking().SingleOrDefaultAsync(stop);
        BorrowedNight night = new(clubId, localDate, holder, run?.Status == NightRunStatus.Running
            ? NightRunStatus.Waiting
            : run?.Status);
        if (run is null)
        {
            return await AddAsync(clubId, localDate, NightRunStatus.Running, holder, stop) ? night : null;
        }

        var now = Now;
        return !IsAlive(run, now)
            && await Run(localDate).Where(n => n.Version == run.Version).ExecuteUpdateAsync(
            set => set.SetProperty(n => n.Status, NightRunStatus.Running)
                .SetProperty(n => n.Worker, holder)
                .SetProperty(n => n.HeartbeatAt, now)
                .SetProperty(n => n.Version, n => n.Version + 1),
            stop) == 1
            ? night
            : null;
    }

    /// <summary>Leaves the night as it was found. One that is never returned is found with the pending ones and run:
    /// nothing is
    /// lost by it.</summary>
    public async Task ReturnAsync(BorrowedNight night, CancellationToken stop)
    {
        var held = Held(night.LocalDate, night.Holder);
        if (night.Status is not { } status)
        {
            await held.ExecuteDeleteAsync(stop);
            return;
        }

        await held.ExecuteUpdateAsync(
            set => set.SetProperty(n => n.Status, status)
                .SetProperty(n => n.HeartbeatAt, (DateTime?)null)
                .SetProperty(n => n.Worker, (string?)null)
                .SetProperty(n => n.Version, n => n.Version + 1),
            stop);
    }

    /// <summary>Asks for a night out of turn, or for what is left of one that is over.</summary>
    /// <param name="full">Every answer is to be worked out again, from the beginning.</param>
    public async Task AskAsync(Guid clubId, DateOnly localDate, bool full, CancellationToken stop)
    {
        if (full)
        {
            // No pass at all, and none on the present rules: either makes the night go through everything.
            await db.FullPasses.ExecuteDeleteAsync(stop);
        }

        if (await AddAsync(clubId, localDate, NightRunStatus.Waiting, null, stop))
        {
            return;
        }

        var run = await Run(localDate).AsNoTracking().SingleAsync(stop);
        if (!IsAlive(run, Now))
        {
            // Lost to another who asks, or to a worker who takes it: either way it will be run.
            await Run(localDate).Where(n => n.Version == run.Version).ExecuteUpdateAsync(
                set => set.SetProperty(n => n.Status, NightRunStatus.Waiting)
                    .SetProperty(n => n.Worker, (string?)null)
                    .SetProperty(n => n.HeartbeatAt, (DateTime?)null)
                    .SetProperty(n => n.FinishedAt, (DateTime?)null)
                    .SetProperty(n => n.Attempts, 0)
                    .SetProperty(n => n.Error, (string?)null)
                    .SetProperty(n => n.Version, n => n.Version + 1),
                stop);
        }
    }

    /// <summary>Writes down a step, in the step's own transaction: a holder that has lost the night cannot
    /// commit.</summary>
    /// <exception cref="NightLostException">The night is in another's hands.</exception>
    public async Task CountAsync(
        Guid clubId, DateOnly localDate, string holder, CancellationToken stop, int assessed = 0, int changed = 0,
        int digests = 0)
    {
        var now = Now;
        await HeldAsync(
            Held(localDate, holder).ExecuteUpdateAsync(
                set => set.SetProperty(n => n.HeartbeatAt, now)
                    .SetProperty(n => n.Assessed, n => n.Assessed + assessed)
                    .SetProperty(n => n.Changed, n => n.Changed + changed)
                    .SetProperty(n => n.Digests, n => n.Digests + digests)
                    .SetProperty(n => n.Version, n => n.Version + 1),
                stop));
    }

    /// <exception cref="NightLostException">The night is in another's hands.</exception>
    public async Task FinishAsync(Guid clubId, DateOnly localDate, string holder, CancellationToken stop)
    {
        var now = Now;
        await HeldAsync(
            Held(localDate, holder).ExecuteUpdateAsync(
                set => set.SetProperty(n => n.Status, NightRunStatus.Done)
                    .SetProperty(n => n.FinishedAt, now)
                    .SetProperty(n => n.HeartbeatAt, (DateTime?)null)
                    .SetProperty(n => n.Worker, (string?)null)
                    .SetProperty(n => n.Error, (string?)null)
                    .SetProperty(n => n.Version, n => n.Version + 1),
                stop));

        // Nights that broke off and were overtaken would otherwise stand as running for ever.
        await db.NightRuns.Where(n => n.LocalDate < localDate
                && (n.Status == NightRunStatus.Running || n.Status == NightRunStatus.Waiting))
            .ExecuteUpdateAsync(
                set => set.SetProperty(n => n.Status, NightRunStatus.Failed)
                    .SetProperty(n => n.Attempts, MostAttempts)
                    .SetProperty(n => n.FinishedAt, now)
                    .SetProperty(n => n.Worker, (string?)null)
                    .SetProperty(n => n.Error, "It broke off; a later night has done its work.")
                    .SetProperty(n => n.Version, n => n.Version + 1),
                stop);
    }

    public async Task FailAsync(Guid clubId, DateOnly localDate, string holder, string error, CancellationToken stop)
    {
        var now = Now;
        var cut = error[..Math.Min(error.Length, LongestError)];
        await Held(localDate, holder).ExecuteUpdateAsync(
            set => set.SetProperty(n => n.Status, NightRunStatus.Failed)
                .SetProperty(n => n.FinishedAt, now)
                .SetProperty(n => n.HeartbeatAt, now)
                .SetProperty(n => n.Worker, (string?)null)
                .SetProperty(n => n.Error, cut)
                .SetProperty(n => n.Version, n => n.Version + 1),
            stop);
    }

    /// <summary>A worker that is told to stop gives the night back; that is no failure.</summary>
    public async Task GiveBackAsync(Guid clubId, DateOnly localDate, string holder, CancellationToken stop) =>
        await Held(localDate, holder).ExecuteUpdateAsync(
            set => set.SetProperty(n => n.Status, NightRunStatus.Waiting)
                .SetProperty(n => n.HeartbeatAt, (DateTime?)null)
                .SetProperty(n => n.Worker, (string?)null)
                .SetProperty(n => n.Attempts, n => n.Attempts - 1)
                .SetProperty(n => n.Version, n => n.Version + 1),
            stop);

    /// <summary>At start: what a process of this machine held when it was killed need not wait until its silence is
    /// noticed.</summary>
    public async Task ReleaseDeadAsync(WorkerName me, CancellationToken stop)
    {
        var held = await db.NightRuns.AsNoTracking().AcrossClubs()
            .Where(n => n.Status == NightRunStatus.Running && n.Worker != null)
            .ToListAsync(stop);
        foreach (var run in held.Where(run => me.IsDeadTwin(run.Worker!)))
        {
            await Held(run.LocalDate, run.Worker!).AcrossClubs().Where(n => n.ClubId == run.ClubId).ExecuteUpdateAsync(
                set => set.SetProperty(n => n.HeartbeatAt, (DateTime?)null)
                    .SetProperty(n => n.Version, n => n.Version + 1), stop);
        }
    }

    // 1, 2, 4 … 60 minutes.
    private static TimeSpan PauseAfter(int attempts) =>
        TimeSpan.FromMinutes(Math.Min(60, 1 << Math.Clamp(attempts - 1, 0, 6)));

    private static async Task HeldAsync(Task<int> update)
    {
        if (await update == 0)
        {
            throw new NightLostException();
        }
    }

    private IQueryable<NightRun> Run(DateOnly localDate) =>
        db.NightRuns.Where(n => n.LocalDate == localDate);

    private IQueryable<NightRun> Held(DateOnly localDate, string holder) =>
        Run(localDate).Where(n => n.Worker == holder && n.Status == NightRunStatus.Running);

    private async Task<bool> AddAsync(
        Guid clubId, DateOnly localDate, NightRunStatus status, string? holder, CancellationToken stop)
    {
        if (await Run(localDate).AnyAsync(stop))
        {
            return false;
        }

        var isTaken = status == NightRunStatus.Running;
        NightRun run = new()
        {
            ClubId = clubId,
            LocalDate = localDate,
            Status = status,
            StartedAt = Now,
            Worker = holder,
            HeartbeatAt = isTaken ? Now : null,
            Attempts = isTaken ? 1 : 0,
        };
        db.Add(run);
        try
        {
            await db.SaveChangesAsync(stop);
            return true;
        }
        catch (DbUpdateException twin) when (twin.IsUniqueViolation())
        {
            return false;
        }
        finally
        {
            db.Entry(run).State = EntityState.Detached;
        }
    }
}
