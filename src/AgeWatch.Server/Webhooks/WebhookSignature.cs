using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace AgeWatch.Server.Webhooks;

/// <summary>The signature of Standard Webhooks 1.0 over <c>id.timestamp.body</c>.</summary>
internal static class WebhookSignature
{
    /// <param name="body">The very bytes that are sent.</param>
    /// <param name="secrets">One signature for each: during a rotation the receiver may know either.</param>
    /// <returns>The value of the webhook-signature header.</returns>
    public static string Sign(string messageId, DateTimeOffset at, ReadOnlySpan<byte> body, IEnumerable<string> secrets)
    {
        var head = Encoding.UTF8.GetBytes(string.Create(
            CultureInfo.InvariantCulture, $"{messageId}.{at.ToUnixTimeSeconds()}."));
        var signed = new byte[head.Length + body.Length];
        head.CopyTo(signed, 0);
        body.CopyTo(signed.AsSpan(head.Length));
        return string.Join(
            ' ',
            secrets.Select(secret =>
                "v1," + Convert.ToBase64String(HMACSHA256.HashData(WebhookSecret.KeyOf(secret), signed))));
    }
}
