using System.Text;
using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Server.Outbox;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Webhooks;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Webhooks;

/// <summary>Calls the webhooks: every event at least once, in no promised order, with the same webhook-id at every
/// try.</summary>
internal sealed class WebhookOutbox(
    IServiceScopeFactory scopes, WebhookSender sender, WebhookResults results, SecretBox box, OutboxOptions options,
    TimeProvider clock) : IOutbox
{
    private static readonly TimeSpan Rest = TimeSpan.FromSeconds(30);

    public string Name => "webhooks";

    /// <returns>How many tries had a result.</returns>
    public async Task<int> SendDueAsync(CancellationToken stop)
    {
        await using (var scope = scopes.CreateAsyncScope())
        {
            await scope.ServiceProvider.GetRequiredService<WebhookFanOut>().RunAsync(stop);
        }

        // A call on the wire may end in peace: it takes seconds, and cut off it would be made twice.
        using var cut = new CancellationTokenSource();
        await using var _ = stop.Register(() => cut.CancelAfter(options.Grace));
        var lanes = await Task.WhenAll(Enumerable.Range(0, options.Lanes).Select(_ => RunLaneAsync(stop, cut.Token)));
        return lanes.Sum();
    }

    private async Task<int> RunLaneAsync(CancellationToken stop, CancellationToken cut)
    {
        var sent = 0;
        while (!stop.IsCancellationRequested && await ClaimAsync(stop) is { } batch)
        {
            sent += await SendAsync(batch, stop, cut);
        }

        return sent;
    }

    private async Task<int> SendAsync(Batch batch, CancellationToken stop, CancellationToken cut)
    {
        var sent = 0;
        HashSet<Guid> resting = [];
        var end = clock.GetUtcNow().UtcDateTime + options.Lease / 2;
        try
        {
            foreach (var (delivery, webhook) in batch.Rows)
            {
                // A receiver that has just failed is not pressed with the rest.
                if (stop.IsCancellationRequested || clock.GetUtcNow().UtcDateTime > end || resting.Contains(webhook.Id))
                {
                    continue;
                }

                var outcome = webhook.DisabledAt is null
                    ? await sender.SendAsync(
                        new Uri(webhook.Url), delivery.MessageId, Encoding.UTF8.GetBytes(delivery.Body),
                        box.SecretsOf(webhook, clock.GetUtcNow().UtcDateTime), cut)
                    : null;
                if (outcome is not (null or WebhookOutcome.Accepted))
                {
                    resting.Add(webhook.Id);
                }

                await results.KeepAsync(batch.Claim, delivery, outcome, cut);
                sent++;
            }
        }
        finally
        {
            await ReleaseAsync(batch.Claim, stop.IsCancellationRequested ? TimeSpan.Zero : Rest);
        }

        return sent;
    }

    private async Task<Batch?> ClaimAsync(CancellationToken stop)
    {
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        var claim = await Claim.TakeAsync(
            db, Claim.WebhookDeliveries, clock.GetUtcNow().UtcDateTime, options.Lease, options.Batch, stop);
        if (claim is null)
        {
            return null;
        }

        var rows = await Mine(db, claim)
            .Join(
                db.Webhooks, d => new { d.ClubId, Id = d.WebhookId }, w => new { w.ClubId, w.Id },
                (delivery, webhook) => new { delivery, webhook })
            .AsNoTracking().OrderBy(pair => pair.delivery.Sequence).ToListAsync(stop);
        return new(claim, [.. rows.Select(pair => (pair.delivery, pair.webhook))]);
    }

    private async Task ReleaseAsync(Claim claim, TimeSpan rest)
    {
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        var next = clock.GetUtcNow().UtcDateTime + rest;
        await Mine(db, claim).ExecuteUpdateAsync(
            set =>
                set.SetProperty(d => d.LeaseOwner, (string?)null)
                    .SetProperty(d => d.LeaseUntil, (DateTime?)null)
                    .SetProperty(d => d.NextAttemptAt, next),
            CancellationToken.None);
    }

    private static IQueryable<WebhookDelivery> Mine(AgeWatchContext db, Claim claim)
    {
        db.EnterClub(claim.ClubId);
        return db.WebhookDeliveries.Where(d => d.LeaseOwner == claim.Owner && d.State == SendState.Waiting);
    }

    private sealed record Batch(Claim Claim, IReadOnlyList<(WebhookDelivery Delivery, Webhook Webhook)> Rows);
}
