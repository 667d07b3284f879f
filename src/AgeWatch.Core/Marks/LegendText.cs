namespace AgeWatch.Core.Marks;

/// <summary>Finds the dates among the standard, the maker and the size in the legend of a hose: SAE 30R9
/// 2Q08.</summary>
/// <remarks>
/// Common practice, no source. Only forms that are seldom anything else are taken out, and never a fraction that can be
/// a bore. Several such forms are several readings.
/// </remarks>
internal static class LegendText
{
    private const int MostWords = 16;

    /// <summary>Longest date in words: WK 3 2014, 12 Jan 2014.</summary>
    private const int MostInOne = 3;

    /// <returns>Whether any convention of the plan found its form.</returns>
    public static bool Read(ReadOnlySpan<char> text, bool triangle, int unreadable, ReadingCollector collector)
    {
        Span<Range> words = stackalloc Range[MostWords + 1];
        var count = text.Split(words, ' ');
        if (unreadable > 0 || count is < 2 or > MostWords)
        {
            return false;
        }

        Span<char> compact = stackalloc char[text.Length];
        Span<Piece> pieces = stackalloc Piece[MarkText.MostPieces];
        var whole = new MarkText(text, compact, pieces, triangle);
        if (!HasOtherWord(whole.Pieces))
        {
            return false;
        }

        ReadOnlySpan<char> said = whole.SaysExpiry ? "EXP " : whole.SaysMade ? "MADE " : "";
        var understood = false;
        Span<char> alone = stackalloc char[text.Length + 5];
        for (var i = 0; i < count;)
        {
            var taken = 1;
            for (var length = Math.Min(MostInOne, count - i); length > 0; length--)
            {
                var window = text[words[i].Start.Value..words[i + length - 1].End.Value];
                if (IsDate(window, compact, pieces))
                {
                    said.CopyTo(alone);
                    window.CopyTo(alone[said.Length..]);
                    understood |= MarkCompletions.ReadText(
                        alone[..(said.Length + window.Length)], triangle, MarkAssumption.InLegend, collector);
                    taken = length;
                    break;
                }
            }

            i += taken;
        }

        return understood;
    }

    private static bool HasOtherWord(ReadOnlySpan<Piece> pieces)
    {
        foreach (var piece in pieces)
        {
            if (piece.Kind == PieceKind.Word)
            {
                return true;
            }
        }

        return false;
    }

    private static bool IsDate(ReadOnlySpan<char> window, Span<char> compact, Span<Piece> pieces)
    {
        var text = new MarkText(window, compact, pieces, triangle: false);
        var parts = text.Pieces;
        return PlainText.IsInWords(parts) ? IsInWords(parts)
            : CalendarText.IsNumberYear(parts, out var number, out var year) ? IsPair(text, number, year)
            : text.IsTriple(out var a, out var b, out var c) && text.Separated && parts[1].Value != ' '
                && parts[3].Value == parts[1].Value && b.IsShort
                && ((a.IsShort && c.IsYear) || (PlainText.IsFullYear(a) && c.IsShort));
    }

    private static bool IsInWords(ReadOnlySpan<Piece> parts)
    {
        Span<Piece> three = stackalloc Piece[3];
        return CalendarText.IsNamedMonth(parts, out _, out _) || CalendarText.IsNamedDay(parts, out _, out _, out _)
            || CalendarText.IsNamedWeek(parts, out _, out _)
            || (CalendarText.Parts(parts, three) && three[2].IsYear
                && (three[0].Kind == PieceKind.Quarter || three[1].Kind == PieceKind.Quarter));
    }

    /// <summary>A slash parts a date of two figures, anything but a blank one with the year in full.</summary>
    private static bool IsPair(in MarkText text, Piece number, Piece year) => text.Pieces[1].Value switch
    {
        ' ' => false,
        '/' => PlainText.IsFullYear(year)
            || (year.Length == 2 && (text.Slice(number)[0] == '0' || !HoseLegend.IsBore(number, year))),
        _ => PlainText.IsFullYear(year),
    };
}
