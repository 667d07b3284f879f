using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>The text of a key: <c>agw_</c> and 256 random bits. Only its hash is ever stored.</summary>
internal static partial class KeyText
{
    public const string Prefix = "agw_";

    private static readonly string[] PlaceholderWords = ["change", "example", "placeholder", "replace", "insert"];

    // Hexadecimal, so that a double click selects the whole key.
    public static string New() => Prefix + Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(32));

    /// <summary>64 lower-case hexadecimal digits of SHA-256. A slow hash buys nothing against 256 random
    /// bits.</summary>
    public static string HashOf(string key) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(key)));

    public static bool HasForm(string key) => Form().IsMatch(key);

    /// <summary>Null when an operator's own key is fit to use.</summary>
    public static string? WhyRefused(string key) =>
        !HasForm(key) ? "must be agw_ and 43 to 128 letters, digits, - or _ (for example agw_ and the output of: "
            + "openssl rand -hex 32)."
        : key[Prefix.Length..].Distinct().Count() < 10
            || PlaceholderWords.Any(word => key.Contains(word, StringComparison.OrdinalIgnoreCase))
            ? "looks like a placeholder; make a random one (for example agw_ and the output of: openssl rand -hex 32)."
            : null;

    [GeneratedRegex(@"\Aagw_[A-Za-z0-9_-]{43,128}\z")]
    private static partial Regex Form();
}
