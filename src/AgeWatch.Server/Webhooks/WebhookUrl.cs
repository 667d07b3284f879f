using System.Net;

namespace AgeWatch.Server.Webhooks;

/// <summary>What a webhook's address may look like. A courtesy at registration; the sender decides again when it
/// connects.</summary>
internal static class WebhookUrl
{
    public const int MaxLength = 2000;

    /// <returns>Why the address is refused, as a clause that follows the field's name; null when it is fine.</returns>
    public static string? Objection(string text, AddressPolicy policy)
    {
        if (text.Length > MaxLength
            || !Uri.TryCreate(text, UriKind.Absolute, out var url)
            || url.Scheme is not ("https" or "http"))
        {
            return "is not an https address";
        }

        if (url.UserInfo.Length > 0 || url.Fragment.Length > 0)
        {
            return "carries a user name or a fragment, which are not sent";
        }

        // Digits in circles are a name to one reader and 127.0.0.1 to another.
        var host = url.Host;
        if (!System.Text.Ascii.IsValid(host))
        {
            return "must write a host outside ASCII in its xn-- form";
        }

        if (IPAddress.TryParse(host, out var address))
        {
            return !policy.Allows(address) ? "leads to a network that webhooks may not reach"
                : policy.IsOpenedByOperator(address) ? null
                : OpenInternetObjection(url);
        }

        var labels = host.TrimEnd('.').ToLowerInvariant();
        if (host.EndsWith('.') || labels is "metadata.google.internal" or "metadata.amazonaws.com" or "localhost"
            || labels.EndsWith(".localhost", StringComparison.Ordinal))
        {
            return "names a host that webhooks may not reach";
        }

        return policy.HasOpenedAny ? null : OpenInternetObjection(url);
    }

    /// <summary>On the open internet only https at its own port; only https keeps what is sent from being read on the
    /// way.</summary>
    public static string? OpenInternetObjection(Uri url) =>
        url.Scheme != Uri.UriSchemeHttps ? "must start with https://"
        : url.Port != 443 ? "must use port 443"
        : null;
}
