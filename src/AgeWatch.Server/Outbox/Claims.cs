using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Outbox;

/// <summary>
/// Rows taken for sending, by one worker at a time. The lease outlives a lost worker by its length only, and the
/// owner's name, new for every claim, keeps a worker that was thought lost from writing over what another has done
/// since.
/// </summary>
/// <param name="Owner">Of this claim alone.</param>
internal sealed record Claim(Guid ClubId, string Owner)
{
    public const string Digests = "digests";
    public const string WebhookDeliveries = "webhook_deliveries";

    private const string IsDue =
        "state = 'Waiting' AND (next_attempt_at IS NULL OR next_attempt_at <= {0}) AND (lease_until IS NULL OR "
            + "lease_until <= {0})";

    /// <summary>Claims up to <paramref name="most"/> due rows of one club; null when nothing is due anywhere.</summary>
    /// <param name="table"><see cref="Digests"/> or <see cref="WebhookDeliveries"/>.</param>
    public static async Task<Claim?> TakeAsync(
        AgeWatchContext db, string table, DateTime now, TimeSpan lease, int most, CancellationToken stop)
    {
#pragma warning disable EF1002 // Table names and clauses are constants of this file; every value is a parameter.
        // Club by club, so that every statement stays within one tenant; in chance order, so that workers spread.
        var clubs = await db.Database.SqlQueryRaw<Guid>(
            $"SELECT c.club_id AS \"Value\" FROM clubs c WHERE EXISTS (SELECT 1 FROM {table} t WHERE t.club_id = c.club_id AND {IsDue}) ORDER BY random()",
            now).ToListAsync(stop);
        foreach (var clubId in clubs)
        {
            var claim = new Claim(clubId, Guid.NewGuid().ToString("n"));
            var taken = await db.Database.ExecuteSqlRawAsync(
                $$"""
                WITH due AS MATERIALIZED (
                    SELECT id FROM {{table}} WHERE club_id = {1} AND {{IsDue}}
                    ORDER BY next_attempt_at, id LIMIT {2} {{db.SkipLocked()}})
                UPDATE {{table}} SET lease_owner = {3}, lease_until = {4}, version = version + 1
                WHERE club_id = {1} AND id IN (SELECT id FROM due)
                """,
                [now, clubId, most, claim.Owner, now + lease],
                stop);
#pragma warning restore EF1002
            if (taken > 0)
            {
                return claim;
            }
        }

        return null;
    }
}
