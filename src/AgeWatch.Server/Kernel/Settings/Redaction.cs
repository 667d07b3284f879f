using System.Text.RegularExpressions;
using Serilog.Events;
using Serilog.Formatting;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>Takes out of a text what must never be logged: keys, tokens, passwords, addresses of people.</summary>
internal static partial class Redaction
{
    public static string Of(string text)
    {
        text = Secret().Replace(text, "$1***");
        text = Token().Replace(text, "$1***");
        text = Password().Replace(text, "$1***");
        return Email().Replace(text, "***@***");
    }

    public static string OfPath(string path) => Token().Replace(path, "$1***");

    [GeneratedRegex(@"(agw_|whsec_)[A-Za-z0-9_+/=-]+", RegexOptions.NonBacktracking)]
    private static partial Regex Secret();

    // Calendar clients, one-click unsubscribe and whoever clicks in a mail cannot send headers, so these secrets stand
    // in the path.
    [GeneratedRegex(@"(/(?:feeds|unsubscribe|u|look)/)[^/\s?""'\\]+", RegexOptions.NonBacktracking)]
    private static partial Regex Token();

    [GeneratedRegex(
        @"((?:password|pwd|api_key|access_token|token)\s*=\s*)[^;&\s""]+",
        RegexOptions.IgnoreCase | RegexOptions.NonBacktracking)]
    private static partial Regex Password();

    [GeneratedRegex(
        @"[\p{L}\p{N}._%+'-]+(?:@|%40)[\p{L}\p{N}.-]+", RegexOptions.IgnoreCase | RegexOptions.NonBacktracking)]
    private static partial Regex Email();
}

/// <summary>The last gate before the log: whatever a message, a property or an exception holds goes through <see
/// cref="Redaction"/>.</summary>
internal sealed class RedactingFormatter(ITextFormatter inner) : ITextFormatter
{
    public void Format(LogEvent logEvent, TextWriter output)
    {
        using StringWriter text = new();
        inner.Format(logEvent, text);
        output.Write(Redaction.Of(text.ToString()));
    }
}
