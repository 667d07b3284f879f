using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>From the hash of a key to the key, by a query compiled once.</summary>
/// <remarks>Not static: a compiled query belongs to one model, and one process can hold servers on different
/// databases.</remarks>
internal sealed class KeyLookup
{
    private readonly Func<AgeWatchContext, string, IAsyncEnumerable<FoundKey>> _find = EF.CompileAsyncQuery(
        (AgeWatchContext db, string hash) => db.AccessHashes
            .IgnoreQueryFilters(new[] { AgeWatchContext.ClubFilter })
            .Where(access => access.Hash == hash && access.Kind == AccessKind.Key)
            .Join(
                db.Keys,
                access => new { access.ClubId, Id = access.TargetId },
                key => new { key.ClubId, key.Id },
                (access, key) => new FoundKey(
                    access.Hash, key.ClubId, key.Id, key.MemberId, key.Role, key.ExpiresAt, key.RevokedAt,
                    key.LastUsedOn)));

    public async Task<FoundKey?> FindAsync(AgeWatchContext db, string hash, CancellationToken stop)
    {
        FoundKey? found = null;
        await foreach (var row in _find(db, hash).WithCancellation(stop))
        {
            found = row;
        }

        return found;
    }
}

internal sealed record FoundKey(
    string Hash, Guid ClubId, Guid KeyId, Guid? MemberId, KeyRole Role, DateTime? ExpiresAt, DateTime? RevokedAt,
    DateOnly? LastUsedOn);
