using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Webhooks;

/// <summary>Gives every new event its row for every webhook that wants it.</summary>
internal sealed class WebhookFanOut(AgeWatchContext db, TimeProvider clock)
{
    private const int EventsAtOnce = 200;

    public async Task RunAsync(CancellationToken stop)
    {
        var behind = await db.Webhooks.AsNoTracking().AcrossClubs()
            .Where(w => w.DisabledAt == null)
            .Join(
                db.ClubCounters.Where(c => c.Name == ClubCounter.Events),
                webhook => webhook.ClubId, counter => counter.ClubId, (webhook, counter) => new { webhook, counter })
            .Where(pair => pair.webhook.DeliveredThrough < pair.counter.Value)
            .Select(pair => new { pair.webhook.ClubId, pair.webhook.Id })
            .ToListAsync(stop);
        foreach (var webhook in behind)
        {
            await CatchUpAsync(webhook.ClubId, webhook.Id, stop);
        }
    }

    private async Task CatchUpAsync(Guid clubId, Guid webhookId, CancellationToken stop)
    {
        db.EnterClub(clubId);
        while (await db.Webhooks.SingleOrDefaultAsync(w =>
            w.Id == webhookId && w.DisabledAt == null, stop) is { } webhook)
        {
            var events = await db.Events.AsNoTracking()
                .Where(e => e.Sequence > webhook.DeliveredThrough)
                .OrderBy(e => e.Sequence).Take(EventsAtOnce).ToListAsync(stop);
            if (events.Count == 0)
            {
                break;
            }

            var now = clock.GetUtcNow().UtcDateTime;
            db.AddRange(events.Where(e => WebhookMessage.Wants(webhook, e))
                .Select(e => WebhookMessage.Of(webhook, e, now)));
            webhook.DeliveredThrough = events[^1].Sequence;
            try
            {
                await db.SaveChangesAsync(stop);
            }
            catch (DbUpdateException twin) when (twin is DbUpdateConcurrencyException || twin.IsUniqueViolation())
            {
                // Another worker was a moment faster with these, or an officer has just changed the webhook.
            }
            finally
            {
                db.ChangeTracker.Clear();
            }
        }

        db.ChangeTracker.Clear();
    }
}
