namespace AgeWatch.Server.Kernel.Http;

/// <summary>Keeps a spreadsheet from running a member's text as a formula, in a way that an import can undo.</summary>
/// <remarks>
/// OWASP ASVS 5 1.2.10: a leading = + - @ tab or NUL gets a single quote before it; the carriage return, the line feed
/// and the full-width forms are added from memory. Text that already begins with quotes and such a character gets one
/// more, so that taking one away always gives back what was there.
/// </remarks>
internal static class CsvGuard
{
    private const string Formula = "=+-@\t\0\r\n\uFF1D\uFF0B\uFF0D\uFF20";

    public static string Guard(string text) => NeedsGuard(text) ? "'" + text : text;

    public static string Unguard(string text) => text is ['\'', ..] && NeedsGuard(text) ? text[1..] : text;

    private static bool NeedsGuard(string text)
    {
        var rest = text.AsSpan().TrimStart('\'');
        return rest.Length > 0 && Formula.Contains(rest[0], StringComparison.Ordinal);
    }
}
