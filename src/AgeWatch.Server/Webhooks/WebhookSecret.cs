using System.Security.Cryptography;

namespace AgeWatch.Server.Webhooks;

/// <summary>A shared secret of Standard Webhooks 1.0: <c>whsec_</c> and the base64 of 24 to 64 random bytes.</summary>
internal static class WebhookSecret
{
    private const string Prefix = "whsec_";

    public static string Make() => Prefix + Convert.ToBase64String(RandomNumberGenerator.GetBytes(32));

    /// <exception cref="FormatException">Not such a secret.</exception>
    public static byte[] KeyOf(string secret)
    {
        var key = Convert.FromBase64String(secret.StartsWith(Prefix, StringComparison.Ordinal)
            ? secret[Prefix.Length..]
            : secret);
        return key.Length is >= 24 and <= 64
            ? key
            : throw new FormatException("A webhook secret holds 24 to 64 bytes.");
    }
}
