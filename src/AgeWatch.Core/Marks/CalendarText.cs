namespace AgeWatch.Core.Marks;

/// <summary>Forms of a calendar date that several conventions share.</summary>
internal static class CalendarText
{
    /// <summary>A day with the month as a word, in any order a name leaves clear: 12 Apr 92, April 12 1992, 1992 Apr 12.</summary>
    public static bool IsNamedDay(in MarkText text, out Piece year, out int month, out Piece day)
    {
        year = day = default;
        month = 0;
        Span<Piece> parts = stackalloc Piece[3];
        if (!Parts(text, parts))
        {
            return false;
        }

        (year, month, day) = (parts[0].Kind, parts[1].Kind, parts[2].Kind) switch
        {
            (PieceKind.Number, PieceKind.Month, PieceKind.Number) when parts[0].IsShort && parts[2].IsYear => (parts[2], parts[1].Value, parts[0]),
            (PieceKind.Month, PieceKind.Number, PieceKind.Number) when parts[1].IsShort && parts[2].IsYear => (parts[2], parts[0].Value, parts[1]),
            (PieceKind.Number, PieceKind.Month, PieceKind.Number) when parts[0].Length == 4 && parts[2].IsShort => (parts[0], parts[1].Value, parts[2]),
            _ => default,
        };
        return month > 0;
    }

    /// <summary>A month as a word with its year: Jun 94, June 2010, 2010 June.</summary>
    public static bool IsNamedMonth(in MarkText text, out Piece year, out int month)
    {
        year = default;
        month = 0;
        Span<Piece> parts = stackalloc Piece[2];
        if (!Parts(text, parts))
        {
            return false;
        }

        (year, month) = (parts[0].Kind, parts[1].Kind) switch
        {
            (PieceKind.Month, PieceKind.Number) when parts[1].IsYear => (parts[1], parts[0].Value),
            (PieceKind.Number, PieceKind.Month) when parts[0].Length == 4 => (parts[0], parts[1].Value),
            _ => default,
        };
        return month > 0;
    }

    /// <summary>A month and a year in figures with a separator: 3/94, 03.1994.</summary>
    public static bool IsMonthYear(in MarkText text, out Piece month, out Piece year) =>
        text.IsPair(out month, out year) && month.IsShort && year.IsYear;

    /// <summary>Exactly so many pieces, leaving out one separator between each.</summary>
    public static bool Parts(in MarkText text, Span<Piece> parts)
    {
        var found = 0;
        var last = PieceKind.Separator;
        foreach (var piece in text.Pieces)
        {
            if (piece.Kind == PieceKind.Separator)
            {
                if (last == PieceKind.Separator || piece.Value is not (' ' or '.' or '/' or '-'))
                {
                    return false;
                }
            }
            else if (found == parts.Length)
            {
                return false;
            }
            else
            {
                parts[found++] = piece;
            }

            last = piece.Kind;
        }

        return found == parts.Length;
    }
}
