using System.Globalization;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Kernel.Pages;

namespace AgeWatch.Server.Resources.Conventions;

/// <summary>Line drawings of marks on what they are found on: one colour, so that they follow dark and print.</summary>
/// <remarks>Lengths are in user units, one of which is a CSS pixel at full size; no drawing is wider than a
/// phone.</remarks>
internal static class MarkDrawing
{
    private const int Wide = 288;
    private const int Top = 14;
    private const int Tall = 58;
    private const int TextSize = 20;
    private const int WordSize = 12;

    /// <summary>All drawings of a convention: a second one where the mark has a second form.</summary>
    public static IEnumerable<Html> Of(MarkConvention convention)
    {
        var setting = MarkSettings.Of(convention.Key);
        if (setting == MarkSetting.MouldedClock)
        {
            yield return MouldClockDrawing.Pointer(convention);
            yield return MouldClockDrawing.Dots(convention);
        }
        else if (setting == MarkSetting.PunchedLabel)
        {
            yield return PunchDrawing.Of(convention);
        }
        else
        {
            yield return Lettered(convention, setting, triangle: false);
            if (convention.Key == "tin-wwy")
            {
                yield return Lettered(convention, setting, triangle: true);
            }
        }
    }

    /// <summary>A drawing with its name and description for those who do not see it.</summary>
    public static Html Frame(string id, string title, string description, int height, Html lines) => $"""
        <svg role="img" aria-labelledby="{id}-t {id}-d" viewBox="0 0 {Wide} {height}" width="{Wide}" height="{height}" fill="none" stroke="currentColor" stroke-width="1.5">
        <title id="{id}-t">{title}</title><desc id="{id}-d">{description}</desc>
        {lines}
        </svg>

        """;

    public static Html Word(double x, double y, string text, string anchor = "middle", int size = WordSize) =>
        $"""<text x="{x:0.#}" y="{y:0.#}" font-size="{size}" text-anchor="{anchor}" font-family="sans-serif" fill="currentColor" stroke="none">{text}</text>""";

    private static Html Lettered(MarkConvention convention, MarkSetting setting, bool triangle)
    {
        var parts = convention.Parts;
        var length = parts.Sum(part => part.Text.Length);
        var lead = setting == MarkSetting.Sidewall && convention.Key is not ("tin-full" or "tyre-roman-quarter")
            ? "DOT XX XX "
            : "";
        var (room, shift) = setting == MarkSetting.Cylinder ? (Wide - 64.0, -10) : (Wide - 40.0, 0);
        var step = Math.Min(TextSize * 0.62, room / (length + lead.Length));
        var size = (int)(step / 0.62);
        var middle = Top + Tall / 2;
        var left = (Wide - step * (length + lead.Length)) / 2 + shift;
        var start = left + step * lead.Length;
        Html letters =
            $"{Letters(lead, left, middle, step, size)}{Letters(string.Concat(parts.Select(part => part.Text)), start, middle, step, size)}";
        var (words, height) = Meanings(parts, start, step, triangle ? start + step * (length + 0.7) : null);
        Html surface =
            $"{MarkSurfaces.Of(setting, Wide, Top, Tall)}{Oval(convention, start, step, length, middle)}{Triangle(triangle, start + step * (length + 0.35), middle)}";
        return Frame(
            convention.Key + (triangle ? "-triangle" : ""),
            convention.About.Name + (triangle ? ", with the triangle" : ""),
            $"{MarkSurfaces.Words(setting)} with the mark \"{string.Concat(parts.Select(part => part.Text))}\"{(triangle ? " and a filled triangle behind" : "")}: {InWords(parts)}.",
            height,
            $"{surface}{letters}{words}");
    }

    /// <summary>Every letter at its own place, so that the brackets below fit whatever the font.</summary>
    private static Html Letters(string text, double left, double middle, double step, int size)
    {
        var places = string.Join(
            ' ', text.Select((_, i) => (left + step * (i + 0.5)).ToString("0.#", CultureInfo.InvariantCulture)));
        return text.Length == 0
            ? (Html)$""
            : $"""<text x="{places}" y="{middle + size * 0.36:0.#}" font-size="{size}" text-anchor="middle" font-family="monospace" font-weight="bold" fill="currentColor" stroke="none">{text}</text>""";
    }

    /// <summary>The raised oval round the date group of a tyre.</summary>
    private static Html Oval(MarkConvention convention, double start, double step, int length, int middle)
    {
        var letters = convention.Key switch
        {
            "tin-wwyy" or "tin-wwy" or "tin-dwwy" => length,
            "tin-full" => 4,
            _ => 0,
        };
        return letters == 0
            ? (Html)$""
            : $"""<rect x="{start + step * (length - letters) - 6:0.#}" y="{middle - 15}" width="{step * letters + 12:0.#}" height="30" rx="15"/>""";
    }

    private static Html Triangle(bool drawn, double x, int middle) => drawn
        ? (Html)$"""<path d="M{x + 4:0.#} {middle}l10 -6v12z" fill="currentColor"/>"""
        : $"";

    /// <summary>A bracket under each part and its word below, in the first row where it keeps clear of its
    /// neighbours.</summary>
    private static (Html Words, int Height) Meanings(
        IReadOnlyList<MarkPart> parts, double start, double step, double? triangleAt)
    {
        List<Html> words = [];
        List<double> rows = [];
        var place = start;
        foreach (var part in parts)
        {
            var width = step * part.Text.Length;
            if (part.Means is { } means)
            {
                words.Add(Bracket(place + 2, place + width - 2, means, rows));
            }

            place += width;
        }

        if (triangleAt is { } x)
        {
            words.Add(Bracket(x, x + 12, "1990s", rows));
        }

        return ($"{words}", Top + Tall + 18 + 14 * rows.Count);
    }

    /// <param name="rows">Where the last word of each row ends.</param>
    private static Html Bracket(double from, double to, string means, List<double> rows)
    {
        const int Bottom = Top + Tall;
        var middle = (from + to) / 2;
        var half = means.Length * WordSize * 0.28;
        var word = Math.Clamp(middle, half + 2, Wide - half - 2);
        var row = rows.FindIndex(end => end < word - half - 4);
        if (row < 0)
        {
            row = rows.Count;
            rows.Add(0);
        }

        // A line down to a lower row must not be crossed by a later word above it.
        for (var above = 0; above <= row; above++)
        {
            rows[above] = Math.Max(rows[above], above == row ? word + half : middle);
        }

        return $"""<path d="M{from:0.#} {Bottom + 3}v5H{to:0.#}v-5M{middle:0.#} {Bottom + 8}v{6 + 14 * row}" stroke-width="1"/>{Word(word, Bottom + 25 + 14 * row, means)}""";
    }

    private static string InWords(IReadOnlyList<MarkPart> parts) => string.Join(
        ", ", parts.Where(part => part.Means is not null).Select(part => $"{part.Text.Trim()} is the {part.Means}"));
}
