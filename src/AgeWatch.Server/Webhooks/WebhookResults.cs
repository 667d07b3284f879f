using AgeWatch.Server.Outbox;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Webhooks;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Webhooks;

/// <summary>Writes down what became of a call, and disables a webhook that has failed for too long.</summary>
internal sealed class WebhookResults(IServiceScopeFactory scopes, TimeProvider clock, ILogger<WebhookResults> log)
{
    /// <param name="outcome">Null: the webhook was disabled before the call was made.</param>
    public async Task KeepAsync(Claim claim, WebhookDelivery delivery, WebhookOutcome? outcome, CancellationToken stop)
    {
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        db.EnterClub(claim.ClubId);
        var now = clock.GetUtcNow().UtcDateTime;
        await using var transaction = await db.Database.BeginTransactionAsync(stop);
        var isKept = outcome switch
        {
            null =>
                await ChangeAsync(
                    db, claim, delivery, SendState.Dead, null, "Not sent: the webhook is disabled.", null, now, stop),
            WebhookOutcome.Accepted accepted => await AcceptAsync(db, claim, delivery, accepted.Status, now, stop),
            WebhookOutcome.Gone =>
                await DieAsync(
                    db, claim, delivery, 410, "The receiver answered 410: it wants nothing more.", isFinal: true, now,
                    stop),
            WebhookOutcome.Failed failed when RetrySchedule.AfterWebhookFailure(
                delivery.Attempts + 1, failed.RetryAfter, Random.Shared.NextDouble()) is { } delay =>
                await RetryAsync(db, claim, delivery, failed, now + delay, now, stop),
            WebhookOutcome.Failed failed =>
                await DieAsync(db, claim, delivery, failed.Status, failed.Words, isFinal: false, now, stop),
            _ => throw new System.Diagnostics.UnreachableException(),
        };
        await transaction.CommitAsync(stop);
        if (outcome is not null)
        {
            DeliveryMeter.Webhook(outcome);
        }

        log.LogInformation(
            "Webhook delivery {DeliveryId}: {Outcome}{Late}", delivery.Id, outcome?.GetType().Name ?? "Disabled", isKept
                ? ""
                : ", after another worker had taken it over");
    }

    private static async Task<bool> AcceptAsync(
        AgeWatchContext db, Claim claim, WebhookDelivery delivery, int status, DateTime now, CancellationToken stop)
    {
        await Of(db, delivery).Where(w => w.FailingSince != null)
            .ExecuteUpdateAsync(set => set.SetProperty(w => w.FailingSince, (DateTime?)null)
                .SetProperty(w => w.Version, w => w.Version + 1), stop);
        return await ChangeAsync(db, claim, delivery, SendState.Accepted, status, null, null, now, stop);
    }

    private static async Task<bool> RetryAsync(
        AgeWatchContext db, Claim claim, WebhookDelivery delivery, WebhookOutcome.Failed failed, DateTime next,
        DateTime now, CancellationToken stop)
    {
        await Of(db, delivery).Where(w => w.FailingSince == null)
            .ExecuteUpdateAsync(set =>
                set.SetProperty(w => w.FailingSince, now).SetProperty(w => w.Version, w => w.Version + 1), stop);
        return await ChangeAsync(db, claim, delivery, SendState.Waiting, failed.Status, failed.Words, next, now, stop);
    }

    /// <param name="isFinal">The receiver said so; else the webhook is disabled only if nothing got through while this
    /// was tried.</param>
    private static async Task<bool> DieAsync(
        AgeWatchContext db, Claim claim, WebhookDelivery delivery, int? status, string words, bool isFinal,
        DateTime now, CancellationToken stop)
    {
        if (!await ChangeAsync(db, claim, delivery, SendState.Dead, status, words, null, now, stop))
        {
            return false;
        }

        // The whole published schedule, some three days, and not one call answered well in that time.
        var hasHope = !isFinal && await db.WebhookDeliveries.AnyAsync(
            d => d.WebhookId == delivery.WebhookId
                && d.AcceptedAt > delivery.CreatedAt, stop);
        var disabled = hasHope
            ? 0
            : await Of(db, delivery).Where(w => w.DisabledAt == null).ExecuteUpdateAsync(set => set
            .SetProperty(w => w.DisabledAt, now)
            .SetProperty(w => w.DisabledReason, words)
            .SetProperty(w => w.Version, w => w.Version + 1), stop);
        if (disabled > 0)
        {
            await db.RaiseAsync(
                delivery.ClubId, EventType.WebhookDisabled, null, new { delivery.WebhookId, Reason = words }, now,
                stop);
        }

        return true;
    }

    private static IQueryable<Webhook> Of(AgeWatchContext db, WebhookDelivery delivery) =>
        db.Webhooks.Where(w => w.Id == delivery.WebhookId);

    private static async Task<bool> ChangeAsync(
        AgeWatchContext db, Claim claim, WebhookDelivery delivery, SendState state, int? status, string? words,
        DateTime? next, DateTime now, CancellationToken stop) =>
        await db.WebhookDeliveries
            .Where(d => d.Id == delivery.Id
                && d.LeaseOwner == claim.Owner
                && d.State == SendState.Waiting)
            .ExecuteUpdateAsync(
                set => set
                    .SetProperty(d => d.State, state)
                    .SetProperty(d => d.Attempts, d => d.Attempts + 1)
                    .SetProperty(d => d.LastStatus, status)
                    .SetProperty(d => d.LastReply, words)
                    .SetProperty(d => d.AcceptedAt, state == SendState.Accepted ? now : null)
                    .SetProperty(d => d.NextAttemptAt, next)
                    .SetProperty(d => d.LeaseOwner, (string?)null)
                    .SetProperty(d => d.LeaseUntil, (DateTime?)null)
                    .SetProperty(d => d.Version, d => d.Version + 1),
                stop) > 0;
}
