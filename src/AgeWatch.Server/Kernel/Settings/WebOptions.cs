using System.ComponentModel.DataAnnotations;
using System.Net;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>How the outside reaches the server.</summary>
internal sealed record WebOptions : IValidatableObject
{
    public const string DefaultUrls = "http://127.0.0.1:5080";

    public string Urls { get; init; } = DefaultUrls;

    public string? PublicUrl { get; init; }

    public string? TrustedProxies { get; init; }

    /// <summary>Without a slash at its end; null when links follow the request.</summary>
    public string? PublicBase => string.IsNullOrWhiteSpace(PublicUrl) ? null : PublicUrl.TrimEnd('/');

    public IReadOnlyList<IPNetwork> Proxies => [.. Networks.Split(TrustedProxies).Select(Networks.Parse)];

    public IEnumerable<ValidationResult> Validate(ValidationContext validationContext)
    {
        if (Urls.Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries) is var urls
            && (urls.Length == 0 || !urls.All(IsListenAddress)))
        {
            yield return new("AGEWATCH_URLS must list addresses such as http://127.0.0.1:5080, parted by semicolons.");
        }

        if (PublicBase is { } address
            && !(Uri.TryCreate(address, UriKind.Absolute, out var uri) && uri.Scheme is "http" or "https"
                && uri.Query.Length == 0 && uri.Fragment.Length == 0 && uri.UserInfo.Length == 0))
        {
            yield return new(
                "AGEWATCH_PUBLIC_URL must be an address such as https://club.example/agewatch, without query or user.");
        }

        foreach (var part in Networks.Split(TrustedProxies).Where(part => !Networks.TryParse(part, out _)))
        {
            yield return new($"AGEWATCH_TRUSTED_PROXIES: \"{part}\" is not an address or CIDR range.");
        }
    }

    // Kestrel also takes http://*:80 and http://+:80, which are no URIs.
    private static bool IsListenAddress(string url) =>
        Uri.TryCreate(url.Replace("//*", "//any", StringComparison.Ordinal)
            .Replace("//+", "//any", StringComparison.Ordinal), UriKind.Absolute, out var uri)
        && uri.Scheme is "http" or "https";
}

internal static class Networks
{
    public static string[] Split(string? list) =>
        (list ?? "").Split([',', ' '], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    public static IPNetwork Parse(string text) =>
        TryParse(text, out var network)
            ? network
            : throw new FormatException($"\"{text}\" is not an address or CIDR range.");

    public static bool TryParse(string text, out IPNetwork network)
    {
        if (IPNetwork.TryParse(text, out network))
        {
            return true;
        }

        if (IPAddress.TryParse(text, out var address))
        {
            network = new(address, address.GetAddressBytes().Length * 8);
            return true;
        }

        return false;
    }
}
