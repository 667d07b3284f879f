using AgeWatch.Server.Outbox;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Mail;

/// <summary>
/// Sends the digests that wait: the stored bytes, at least once to a mail server's acceptance or to a dead letter with
/// the server's words. A digest goes out twice only when the result of a try was lost with the connection, the process
/// or the database, and then with the same bytes and the same Message-ID.
/// </summary>
internal sealed class DigestOutbox(
    IServiceScopeFactory scopes, MailChannels channels, DigestResults results, DomainPace pace, OutboxOptions options,
    TimeProvider clock) : IOutbox
{
    private static readonly TimeSpan Rest = TimeSpan.FromSeconds(15);

    public string Name => "mail";

    /// <summary>Sends all that is due now.</summary>
    /// <returns>How many tries had a result.</returns>
    public async Task<int> SendDueAsync(CancellationToken stop)
    {
        // A message on the wire may end in peace: cut off, nobody would know whether it was taken.
        using var cut = new CancellationTokenSource();
        await using var _ = stop.Register(() => cut.CancelAfter(options.Grace));

        var first = await ClaimAsync(stop);
        if (first is null)
        {
            return 0;
        }

        var lanes = first.Rows.Count < options.Batch ? 1 : options.Lanes;
        var sent = await Task.WhenAll(Enumerable.Range(0, lanes)
            .Select(lane => RunLaneAsync(lane == 0 ? first : null, stop, cut.Token)));
        return sent.Sum();
    }

    private async Task<int> RunLaneAsync(Batch? batch, CancellationToken stop, CancellationToken cut)
    {
        await using var channel = channels.Open();
        var sent = 0;
        batch ??= await ClaimAsync(stop);
        while (batch is not null)
        {
            var (count, isServerThere) = await SendAsync(channel, batch, stop, cut);
            sent += count;
            batch = isServerThere && !stop.IsCancellationRequested ? await ClaimAsync(stop) : null;
        }

        return sent;
    }

    private async Task<(int Sent, bool IsServerThere)> SendAsync(
        IMailChannel channel, Batch batch, CancellationToken stop, CancellationToken cut)
    {
        using var over = new CancellationTokenSource();
        var renewing = RenewAsync(batch.Claim, over.Token);
        var sent = 0;
        var isServerThere = true;
        try
        {
            foreach (var digest in batch.Rows)
            {
                var domain = DomainPace.DomainOf(digest.Row.Recipient);
                if (stop.IsCancellationRequested || !isServerThere)
                {
                    break;
                }

                if (digest.WhyNot is { } reason)
                {
                    await results.KeepAsync(
                        batch.Claim, digest.Row, new MailOutcome.Refused(reason, RefusedFor.Message), cut);
                    sent++;
                    continue;
                }

                if (await pace.TakeAsync(domain, stop) is not { } turn)
                {
                    continue;
                }

                var outcome = await channel.SendAsync(
                    new(digest.Row.Recipient, digest.Row.MessageId, digest.Row.Message), cut);
                isServerThere = outcome is not MailOutcome.NoServer;

                // The result first: a message that was sent and not marked would be sent again.
                await results.KeepAsync(batch.Claim, digest.Row, outcome, cut);
                await PaceAsync(turn, outcome, cut);
                sent++;
            }
        }
        finally
        {
            await over.CancelAsync();
            await renewing;
            await ReleaseAsync(batch.Claim, stop.IsCancellationRequested ? TimeSpan.Zero : Rest);
        }

        return (sent, isServerThere);
    }

    private Task PaceAsync(DomainTurn turn, MailOutcome outcome, CancellationToken stop) => outcome switch
    {
        MailOutcome.Retry => pace.AskedAsync(turn, stop),
        MailOutcome.Accepted => pace.AnsweredAsync(turn, stop),
        _ => pace.GiveBackAsync(turn, stop),
    };

    private async Task<Batch?> ClaimAsync(CancellationToken stop)
    {
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        var claim = await Claim.TakeAsync(db, Claim.Digests, clock.GetUtcNow()
            .UtcDateTime, options.Lease, options.Batch, stop);
        if (claim is null)
        {
            return null;
        }

        var rows = await Mine(db, claim)
            .Join(db.Members, d => new { d.ClubId, Id = d.MemberId }, m => new { m.ClubId, m.Id }, (d, m) => new
            {
                Row = d,
                m.Email,
                IsUnsubscribed = m.UnsubscribedAt != null,
                IsSuspended = m.MailSuspendedAt != null,
            })
            .AsNoTracking().OrderBy(d => d.Row.Id).ToListAsync(stop);
        await pace.LookUpAsync(db, rows.Select(d => DomainPace.DomainOf(d.Row.Recipient)), stop);
        return new(claim, [.. rows.Select(d => new Claimed(
            d.Row,
            d.IsUnsubscribed ? "Not sent: the member has unsubscribed."
            : d.IsSuspended ? "Not sent: the mail server refused the address before."
            : d.Email != d.Row.Recipient ? "Not sent: the member's address has changed."
            : null))]);
    }

    private async Task RenewAsync(Claim claim, CancellationToken over)
    {
        try
        {
            while (true)
            {
                await Task.Delay(options.Renewal, clock, over);
                await using var scope = scopes.CreateAsyncScope();
                var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
                var until = clock.GetUtcNow().UtcDateTime + options.Lease;
                await Mine(db, claim).ExecuteUpdateAsync(set => set.SetProperty(d => d.LeaseUntil, until), over);
            }
        }
        catch (OperationCanceledException)
        {
            // The batch is done.
        }
        catch (System.Data.Common.DbException)
        {
            // Without the database nobody else can claim the rows either; the owner's name guards what comes after.
        }
    }

    /// <summary>Gives back what was claimed and not tried.</summary>
    private async Task ReleaseAsync(Claim claim, TimeSpan rest)
    {
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        var next = clock.GetUtcNow().UtcDateTime + rest * (1 + Random.Shared.NextDouble());
        await Mine(db, claim).ExecuteUpdateAsync(
            set =>
                set.SetProperty(d => d.LeaseOwner, (string?)null)
                    .SetProperty(d => d.LeaseUntil, (DateTime?)null)
                    .SetProperty(d => d.NextAttemptAt, next),
            CancellationToken.None);
    }

    private static IQueryable<Digest> Mine(AgeWatchContext db, Claim claim)
    {
        db.EnterClub(claim.ClubId);
        return db.Digests.Where(d => d.LeaseOwner == claim.Owner && d.State == SendState.Waiting);
    }

    private sealed record Batch(Claim Claim, IReadOnlyList<Claimed> Rows);

    /// <param name="WhyNot">Why it must not be sent any more; null: it may.</param>
    private sealed record Claimed(Digest Row, string? WhyNot);
}
