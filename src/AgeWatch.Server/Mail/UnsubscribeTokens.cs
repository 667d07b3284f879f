using System.Buffers.Text;
using System.Security.Cryptography;
using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Mail;

/// <summary>
/// The opaque token in a digest's unsubscribe address: the same for a member in every digest, so that an old mail still
/// works, and only its hash is stored.
/// </summary>
internal static class UnsubscribeTokens
{
    public const string SecretName = "unsubscribe";

    public static string Make(ReadOnlySpan<byte> seal, Guid clubId, Guid memberId)
    {
        Span<byte> whose = stackalloc byte[32];
        clubId.TryWriteBytes(whose, bigEndian: true, out _);
        memberId.TryWriteBytes(whose[16..], bigEndian: true, out _);
        return Base64Url.EncodeToString(HMACSHA256.HashData(seal, whose));
    }

    /// <summary>The address for a member; without a public https address there is none (RFC 8058 3.1).</summary>
    public static async Task<Uri?> AddressAsync(
        AgeWatchContext db, string? publicBase, Guid clubId, Guid memberId, CancellationToken stop)
    {
        if (publicBase is null || !publicBase.StartsWith("https://", StringComparison.OrdinalIgnoreCase))
        {
            return null;
        }

        var seal = Convert.FromBase64String(await db.SharedSecretAsync(SecretName, stop));
        var token = Make(seal, clubId, memberId);
        var hash = KeyText.HashOf(token);
        await db.Database.ExecuteSqlAsync(
            $"""
            INSERT INTO access_hashes (hash, kind, club_id, target_id)
            VALUES ({hash}, {nameof(AccessKind.Unsubscribe)}, {clubId}, {memberId}) ON CONFLICT (hash) DO NOTHING
            """,
            stop);
        return new($"{publicBase}{UnsubscribePage.Path}/{token}");
    }
}
