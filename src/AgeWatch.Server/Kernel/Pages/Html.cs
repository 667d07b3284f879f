using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.RegularExpressions;
using System.Text.Unicode;

namespace AgeWatch.Server.Kernel.Pages;

/// <summary>
/// Markup in which every value is encoded: <c>Html row = $"&lt;td&gt;{name}&lt;/td&gt;";</c>. Only a hole that is
/// itself Html, or many of them, goes in as it is.
/// </summary>
[InterpolatedStringHandler]
internal sealed partial class Html(int literalLength, int formattedCount)
{
    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);

    private readonly StringBuilder _markup = new(literalLength + 16 * formattedCount);

    /// <summary>Words that a member wrote, kept from turning the direction of what stands around them.</summary>
    public static Html Said(string? words) => $"<bdi>{words}</bdi>";

    /// <summary>A day that does not break at its hyphens.</summary>
    public static Html Day(DateOnly day) => $"<time>{day:yyyy-MM-dd}</time>";

    /// <summary>Text in which no day breaks at its hyphens. What a member wrote stands in a <c>bdi</c>
    /// besides.</summary>
    public static Html Dated(string sentence)
    {
        Html marked = new(sentence.Length, 0);
        var at = 0;
        foreach (var day in DayText().EnumerateMatches(sentence))
        {
            marked.AppendFormatted(sentence[at..day.Index]);
            marked.AppendLiteral("<time>");
            marked.AppendFormatted(sentence.Substring(day.Index, day.Length));
            marked.AppendLiteral("</time>");
            at = day.Index + day.Length;
        }

        marked.AppendFormatted(sentence[at..]);
        return marked;
    }

    public void AppendLiteral(string markup) => _markup.Append(markup);

    public void AppendFormatted(Html? markup) => _markup.Append(markup?._markup);

    public void AppendFormatted(IEnumerable<Html> many)
    {
        foreach (var markup in many)
        {
            _markup.Append(markup._markup);
        }
    }

    public void AppendFormatted(string? text) => _markup.Append(Encoder.Encode(text ?? ""));

    // No generic overload: it would win over the one for many and print a type's name.
    public void AppendFormatted(IFormattable? value, string? format = null) =>
        AppendFormatted(value?.ToString(format, CultureInfo.InvariantCulture));

    public override string ToString() => _markup.ToString();

    [GeneratedRegex(@"\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b")]
    private static partial Regex DayText();
}
