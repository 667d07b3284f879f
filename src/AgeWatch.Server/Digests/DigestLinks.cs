using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;

namespace AgeWatch.Server.Digests;

/// <summary>The addresses in a digest that open without a key, and until when they do.</summary>
internal static class DigestLinks
{
    public const string Path = "/look";

    // A weekly digest is followed by four more in that time, each with links of its own.
    private const int DaysOpen = 30;

    public static async Task<byte[]> SecretAsync(AgeWatchContext db, CancellationToken stop) =>
        Convert.FromBase64String(await db.SharedSecretAsync("digest-links", stop));

    /// <param name="vehicleId">Null: the list.</param>
    public static Uri Of(string publicBase, byte[] secret, Guid clubId, Guid digestId, Guid? vehicleId) =>
        new($"{publicBase}{Path}/{new DigestPageToken(clubId, digestId, vehicleId).Write(secret)}");

    /// <summary>The last local day on which the links of a day's digest open.</summary>
    public static DateOnly LastDay(DateOnly localDate) => localDate.AddDays(DaysOpen);

    public static bool AreOpen(Digest digest, Member member, DateOnly today) =>
        today <= LastDay(digest.LocalDate)
            && member.Email == digest.Recipient
            && !(digest.CreatedAt <= member.LinksRevokedAt);
}
