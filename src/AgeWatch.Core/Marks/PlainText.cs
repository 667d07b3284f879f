using System.Globalization;

namespace AgeWatch.Core.Marks;

/// <summary>Dates that say what they are: a word for the month, week or quarter, or a year in four figures.</summary>
/// <remarks>
/// Anybody may write such a date on anything, so their conventions are tried on every kind of part, whatever is usual
/// on it.
/// </remarks>
internal static class PlainText
{
    /// <summary>The conventions that read plain dates.</summary>
    public static IReadOnlyList<string> Conventions { get; } =
        ["month-year", "week-year-iso", "iso-week", "cure-nQYY", "iso-calendar", "dmy", "mdy", "ymd", "year"];

    /// <summary>A number that can only be a year written in full.</summary>
    public static bool IsFullYear(Piece piece) => piece is { IsNumber: true, Length: 4, Value: >= 1880 and <= 2099 };

    public static bool IsFullYear(ReadOnlySpan<char> figures) =>
        figures.Length == 4 && int.TryParse(figures, NumberStyles.None, CultureInfo.InvariantCulture, out var year)
            && year is >= 1880 and <= 2099;

    /// <summary>Day, month and year in figures, the year written in full.</summary>
    public static bool HasFullYear(in MarkText text) =>
        text.IsTriple(out var a, out _, out var c) && (IsFullYear(a) || IsFullYear(c));

    public static bool HasMonth(ReadOnlySpan<Piece> pieces)
    {
        foreach (var piece in pieces)
        {
            if (piece.Kind == PieceKind.Month)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Nothing but numbers and one word for a month, a week or a quarter.</summary>
    public static bool IsInWords(ReadOnlySpan<Piece> pieces)
    {
        int words = 0, numbers = 0;
        foreach (var piece in pieces)
        {
            words += piece.Kind is PieceKind.Month or PieceKind.Week or PieceKind.Quarter ? 1 : 0;
            numbers += piece.IsNumber ? 1 : 0;
            if (piece.Kind == PieceKind.Word)
            {
                return false;
            }
        }

        return words == 1 && numbers > 0;
    }
}
