using System.Data.Common;
using AgeWatch.Server.Outbox;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Query;

namespace AgeWatch.Server.Mail;

/// <summary>Writes down what became of a try, however long the database takes to come back.</summary>
internal sealed class DigestResults(
    IServiceScopeFactory scopes, OutboxOptions options, TimeProvider clock, ILogger<DigestResults> log)
{
    // A mailbox that does not exist is told by one reply; anything else may be a passing quarrel.
    private const int RefusalsBeforeSuspension = 3;

    /// <exception cref="DbException">The database did not answer within <see
    /// cref="OutboxOptions.HoldResult"/>.</exception>
    public async Task KeepAsync(Claim claim, Digest digest, MailOutcome outcome, CancellationToken stop)
    {
        var since = clock.GetTimestamp();
        for (var pause = TimeSpan.FromSeconds(0.5); ; pause *= 2)
        {
            try
            {
                await WriteAsync(claim, digest, outcome, stop);
                return;
            }
            catch (Exception error) when (IsPassing(error) && clock.GetElapsedTime(since) + pause < options.HoldResult)
            {
                // A message that was sent and not marked would be sent again.
                await Task.Delay(pause, clock, stop);
            }
        }
    }

    private async Task WriteAsync(Claim claim, Digest digest, MailOutcome outcome, CancellationToken stop)
    {
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        db.EnterClub(claim.ClubId);
        var now = clock.GetUtcNow().UtcDateTime;
        var isKept = outcome switch
        {
            MailOutcome.Accepted => await EndAsync(db, claim, digest, SendState.Accepted, outcome.Words, now, stop),
            MailOutcome.Refused refused => await RefuseAsync(db, claim, digest, refused, now, stop),
            _ => await TryLaterAsync(db, claim, digest, outcome.Words, now, stop),
        };
        DeliveryMeter.Mail(outcome);
        if (isKept)
        {
            log.LogInformation("Digest {DigestId}: {Outcome}", digest.Id, outcome.GetType().Name);
        }
        else
        {
            log.LogWarning(
                "Digest {DigestId}: {Outcome}, after another worker had taken it over", digest.Id,
                outcome.GetType().Name);
        }
    }

    private static Task<bool> EndAsync(
        AgeWatchContext db, Claim claim, Digest digest, SendState state, string words, DateTime now,
        CancellationToken stop) =>
        ChangeAsync(db, claim, digest, words, set => set
            .SetProperty(d => d.State, state)
            .SetProperty(d => d.AcceptedAt, state == SendState.Accepted ? now : null)
            .SetProperty(d => d.NextAttemptAt, (DateTime?)null), stop);

    private static Task<bool> TryLaterAsync(
        AgeWatchContext db, Claim claim, Digest digest, string words, DateTime now, CancellationToken stop) =>
        RetrySchedule.AfterMailFailure(
            digest.Attempts + 1, now - digest.CreatedAt, Random.Shared.NextDouble()) is { } delay
            ? ChangeAsync(db, claim, digest, words, set => set.SetProperty(d => d.NextAttemptAt, now + delay), stop)
            : EndAsync(db, claim, digest, SendState.Dead, words, now, stop);

    private static async Task<bool> RefuseAsync(
        AgeWatchContext db, Claim claim, Digest digest, MailOutcome.Refused refused, DateTime now,
        CancellationToken stop)
    {
        await using var transaction = await db.Database.BeginTransactionAsync(stop);
        if (!await EndAsync(db, claim, digest, SendState.Dead, refused.Words, now, stop))
        {
            return false;
        }

        if (refused.Fault == RefusedFor.NoSuchAddress
            || (refused.Fault == RefusedFor.Recipient && await WereRefusedAsync(db, digest, stop)))
        {
            await SuspendAsync(db, digest, refused.Words, now, stop);
        }

        await transaction.CommitAsync(stop);
        return true;
    }

    /// <summary>Whether the last messages to the address all died, this one among them.</summary>
    public static async Task<bool> WereRefusedAsync(AgeWatchContext db, Digest digest, CancellationToken stop)
    {
        var last = await db.Digests
            .Where(d => d.MemberId == digest.MemberId
                && d.Recipient == digest.Recipient
                && d.State != SendState.Waiting)
            .OrderByDescending(d => d.CreatedAt)
                .ThenByDescending(d => d.Id)
                .Take(RefusalsBeforeSuspension)
                .Select(d => d.State)
                .ToListAsync(stop);
        return last.Count == RefusalsBeforeSuspension && last.All(state => state == SendState.Dead);
    }

    /// <summary>Stops mail to the address, in the caller's transaction; the officer's next digest and an event tell
    /// it.</summary>
    /// <returns>False: it was stopped before, or the member has another address by now.</returns>
    public static async Task<bool> SuspendAsync(
        AgeWatchContext db, Digest digest, string words, DateTime now, CancellationToken stop)
    {
        var suspended = await db.Members
            .Where(m => m.Id == digest.MemberId
                && m.Email == digest.Recipient
                && m.MailSuspendedAt == null)
            .ExecuteUpdateAsync(set => set
                .SetProperty(m => m.MailSuspendedAt, now)
                .SetProperty(m => m.MailSuspendedReason, words)
                .SetProperty(m => m.Version, m => m.Version + 1), stop);
        if (suspended > 0)
        {
            await db.RaiseAsync(
                digest.ClubId, EventType.MailSuspended, digest.MemberId, new { digest.MemberId, Reason = words }, now,
                stop);
        }

        return suspended > 0;
    }

    private static async Task<bool> ChangeAsync(
        AgeWatchContext db, Claim claim, Digest digest, string words, Action<UpdateSettersBuilder<Digest>> change,
        CancellationToken stop) =>
        await db.Digests
            .Where(d => d.Id == digest.Id
                && d.LeaseOwner == claim.Owner
                && d.State == SendState.Waiting)
            .ExecuteUpdateAsync(set =>
            {
                set.SetProperty(d => d.Attempts, d => d.Attempts + 1)
                    .SetProperty(d => d.LastReply, words)
                    .SetProperty(d => d.LeaseOwner, (string?)null)
                    .SetProperty(d => d.LeaseUntil, (DateTime?)null)
                    .SetProperty(d => d.Version, d => d.Version + 1);
                change(set);
            }, stop) > 0;

    private static bool IsPassing(Exception error) =>
        error is DbException or TimeoutException
            || error.InnerException is DbException or System.Net.Sockets.SocketException or IOException;
}
