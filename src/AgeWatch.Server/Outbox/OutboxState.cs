using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Outbox;

/// <summary>What waits in one outbox of all clubs together.</summary>
/// <param name="OldestAt">When the oldest that waits was written; null: nothing waits.</param>
/// <param name="DueSince">Since when the longest due could have been tried; in the future when all of them rest between
/// two tries.</param>
internal sealed record OutboxState(int Waiting, DateTime? OldestAt, DateTime? DueSince)
{
    private static readonly OutboxState Empty = new(0, null, null);

    public static async Task<OutboxState> OfMailAsync(AgeWatchContext db, CancellationToken stop) =>
        Sum(await db.Clubs.AsNoTracking().AcrossClubs()
        .Select(c => new OutboxState(
            db.Digests.Count(d => d.ClubId == c.ClubId && d.State == SendState.Waiting),
            db.Digests.Where(d => d.ClubId == c.ClubId && d.State == SendState.Waiting)
                .Min(d => (DateTime?)d.CreatedAt),
            db.Digests.Where(d => d.ClubId == c.ClubId && d.State == SendState.Waiting)
                .Min(d => d.NextAttemptAt ?? (DateTime?)d.CreatedAt)))
        .ToListAsync(stop));

    public static async Task<OutboxState> OfWebhooksAsync(AgeWatchContext db, CancellationToken stop) =>
        Sum(await db.Clubs.AsNoTracking().AcrossClubs()
        .Select(c => new OutboxState(
            db.WebhookDeliveries.Count(d => d.ClubId == c.ClubId && d.State == SendState.Waiting),
            db.WebhookDeliveries.Where(d => d.ClubId == c.ClubId && d.State == SendState.Waiting)
                .Min(d => (DateTime?)d.CreatedAt),
            db.WebhookDeliveries.Where(d => d.ClubId == c.ClubId && d.State == SendState.Waiting)
                .Min(d => d.NextAttemptAt ?? (DateTime?)d.CreatedAt)))
        .ToListAsync(stop));

    // Club by club above, so that each count stays within the index, which begins with the club.
    private static OutboxState Sum(IEnumerable<OutboxState> clubs) => clubs.Aggregate(Empty, (sum, club) => new(
        sum.Waiting + club.Waiting, Earlier(sum.OldestAt, club.OldestAt), Earlier(sum.DueSince, club.DueSince)));

    private static DateTime? Earlier(DateTime? one, DateTime? other) => one is null || other < one ? other ?? one : one;
}
