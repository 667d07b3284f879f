using System.Collections.Concurrent;
using AgeWatch.Server.Outbox;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Mail;

/// <summary>
/// Leaves a mail domain alone for a while after it asked for patience, longer each time it asks again, and then lets
/// one try through; all processes keep one pace, because it is kept in the database. A domain without trouble costs
/// nothing but a look at each batch.
/// </summary>
internal sealed class DomainPace(IServiceScopeFactory scopes, OutboxOptions options, TimeProvider clock)
{
    private static readonly TimeSpan First = TimeSpan.FromSeconds(30);
    private const int MostDoublings = 5;

    // Domains that may have a row. It says of which to ask the database, never whether one may be written to.
    private readonly ConcurrentDictionary<string, bool> _suspects = [];

    private DateTime Now => clock.GetUtcNow().UtcDateTime;

    public static string DomainOf(string address) => address[(address.LastIndexOf('@') + 1)..].ToLowerInvariant();

    /// <summary>Looks up which of the domains have asked for patience; before a batch is sent.</summary>
    public async Task LookUpAsync(AgeWatchContext db, IEnumerable<string> domains, CancellationToken stop)
    {
        var asked = domains.Distinct().ToList();
        foreach (var domain in await db.MailDomains.Where(d => asked.Contains(d.Domain))
            .Select(d => d.Domain)
            .ToListAsync(stop))
        {
            _suspects[domain] = true;
        }
    }

    /// <summary>The right to make one try; null: the domain rests, or another has the try.</summary>
    public async Task<DomainTurn?> TakeAsync(string domain, CancellationToken stop)
    {
        if (!_suspects.ContainsKey(domain))
        {
            return new(domain, null);
        }

        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        if (await db.MailDomains.AsNoTracking().SingleOrDefaultAsync(d => d.Domain == domain, stop) is not { } row)
        {
            _suspects.TryRemove(domain, out _);
            return new(domain, null);
        }

        // Held as long as a claim: if the holder dies, another may try after that.
        var until = Now + options.Lease;
        return row.FreeAt <= Now && await ChangeAsync(db, new(domain, row.Version), until, row.Times, stop)
            ? new(domain, row.Version + 1)
            : null;
    }

    /// <summary>It asked for patience.</summary>
    public async Task AskedAsync(DomainTurn turn, CancellationToken stop)
    {
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        _suspects[turn.Domain] = true;
        if (turn.Version is null)
        {
            // Whoever was sending at the same time heard the same and meant the same rest: the first of them writes it
            // down.
            var free = Now + First;
            await db.Database.ExecuteSqlAsync(
                $"INSERT INTO mail_domains (domain, free_at, times, version) VALUES ({turn.Domain}, {free}, 1, 1) ON CONFLICT (domain) DO NOTHING",
                stop);
            return;
        }

        var times = await db.MailDomains.Where(d => d.Domain == turn.Domain && d.Version == turn.Version)
            .Select(d => d.Times)
            .SingleOrDefaultAsync(stop);
        await ChangeAsync(db, turn, Now + First * (1 << Math.Min(times, MostDoublings)), times + 1, stop);
    }

    /// <summary>It took a message: it is free for all.</summary>
    public async Task AnsweredAsync(DomainTurn turn, CancellationToken stop)
    {
        if (turn.Version is not { } version)
        {
            return;
        }

        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        await db.MailDomains.Where(d => d.Domain == turn.Domain && d.Version == version).ExecuteDeleteAsync(stop);
        _suspects.TryRemove(turn.Domain, out _);
    }

    /// <summary>The try told nothing about the domain: the next may be made at once.</summary>
    public async Task GiveBackAsync(DomainTurn turn, CancellationToken stop)
    {
        if (turn.Version is not { } version)
        {
            return;
        }

        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        var now = Now;
        await db.MailDomains.Where(d => d.Domain == turn.Domain && d.Version == version)
            .ExecuteUpdateAsync(set =>
                set.SetProperty(d => d.FreeAt, now).SetProperty(d => d.Version, d => d.Version + 1), stop);
    }

    private static async Task<bool> ChangeAsync(
        AgeWatchContext db, DomainTurn turn, DateTime freeAt, int times, CancellationToken stop) =>
        await db.MailDomains.Where(d => d.Domain == turn.Domain && d.Version == turn.Version).ExecuteUpdateAsync(
            set => set.SetProperty(d => d.FreeAt, freeAt)
                .SetProperty(d => d.Times, times)
                .SetProperty(d => d.Version, d => d.Version + 1), stop) == 1;
}

/// <param name="Version">Of the row whose try this is; null: the domain had asked for nothing.</param>
internal sealed record DomainTurn(string Domain, int? Version);
