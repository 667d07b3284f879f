using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace AgeWatch.Server.Outbox;

/// <summary>Tells an outbox that grows: mail that no server takes, or work that nobody takes up.</summary>
internal sealed class OutboxCheck(AgeWatchContext db, TimeProvider clock) : IHealthCheck
{
    /// <summary>A mail server that asks for patience is usually content well within this.</summary>
    private static readonly TimeSpan OldestMail = TimeSpan.FromHours(2);

    /// <summary>A worker takes up what is due within seconds. A call may wait for days between two tries, and that is
    /// no fault here.</summary>
    private static readonly TimeSpan LongestDue = TimeSpan.FromMinutes(30);

    public async Task<HealthCheckResult> CheckHealthAsync(
        HealthCheckContext context, CancellationToken cancellationToken = default)
    {
        var now = clock.GetUtcNow().UtcDateTime;
        var mail = await OutboxState.OfMailAsync(db, cancellationToken);
        var webhooks = await OutboxState.OfWebhooksAsync(db, cancellationToken);
        var late = now - LongestDue;
        return now - mail.OldestAt > OldestMail || mail.DueSince < late || webhooks.DueSince < late
            || await db.Webhooks.AcrossClubs().AnyAsync(
                w => w.DisabledAt == null
                    && db.Events.Any(e => e.ClubId == w.ClubId && e.Sequence > w.DeliveredThrough && e.At < late),
                    cancellationToken)
            ? HealthCheckResult.Degraded("An outbox grows.")
            : HealthCheckResult.Healthy();
    }
}
