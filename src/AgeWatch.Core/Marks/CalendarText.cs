namespace AgeWatch.Core.Marks;

/// <summary>Forms of a calendar date that several conventions share.</summary>
internal static class CalendarText
{
    /// <summary>A day with the month as a word, in any order a name leaves clear: 12 Apr 92, April 12 1992, 1992 Apr
    /// 12.</summary>
    public static bool IsNamedDay(ReadOnlySpan<Piece> pieces, out Piece year, out int month, out Piece day)
    {
        year = day = default;
        month = 0;
        Span<Piece> parts = stackalloc Piece[3];
        if (!Parts(pieces, parts))
        {
            return false;
        }

        (year, month, day) = (parts[0].Kind, parts[1].Kind, parts[2].Kind) switch
        {
            (PieceKind.Number, PieceKind.Month, PieceKind.Number) when parts[0].IsShort && parts[2].IsYear =>
                (parts[2], parts[1].Value, parts[0]),
            (PieceKind.Month, PieceKind.Number, PieceKind.Number) when parts[1].IsShort && parts[2].IsYear =>
                (parts[2], parts[0].Value, parts[1]),
            (PieceKind.Number, PieceKind.Month, PieceKind.Number) when parts[0].Length == 4 && parts[2].IsShort =>
                (parts[0], parts[1].Value, parts[2]),
            _ => default,
        };
        return month > 0;
    }

    /// <summary>A month as a word with its year: Jun 94, June 2010, 2010 June.</summary>
    public static bool IsNamedMonth(ReadOnlySpan<Piece> pieces, out Piece year, out int month)
    {
        year = default;
        month = 0;
        Span<Piece> parts = stackalloc Piece[2];
        if (!Parts(pieces, parts))
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

    /// <summary>A number of one or two figures and a year with a separator: 3/94, 03.1994.</summary>
    public static bool IsNumberYear(ReadOnlySpan<Piece> pieces, out Piece number, out Piece year)
    {
        var fits = pieces.Length == 3 && pieces[0].IsShort && pieces[1].IsBetween && pieces[2].IsYear;
        number = fits ? pieces[0] : default;
        year = fits ? pieces[2] : default;
        return fits;
    }

    /// <summary>A month and a year, in figures or with the month as a word. The month may be out of range.</summary>
    public static bool IsMonthYear(ReadOnlySpan<Piece> pieces, out Piece year, out int month)
    {
        if (IsNumberYear(pieces, out var number, out year))
        {
            month = number.Value;
            return true;
        }

        return IsNamedMonth(pieces, out year, out month);
    }

    /// <summary>
    /// A week and a year with a word for the week before the number, between the two or behind the year: WK 3 2014,
    /// 3 week 2014, 16W03, 2014 week 3. Two figures before a W and two behind are the week and then the year here.
    /// </summary>
    public static bool IsNamedWeek(ReadOnlySpan<Piece> pieces, out Piece year, out Piece week)
    {
        year = week = default;
        Span<Piece> parts = stackalloc Piece[3];
        if (!Parts(pieces, parts))
        {
            return false;
        }

        (year, week) = (parts[0].Kind, parts[1].Kind, parts[2].Kind) switch
        {
            (PieceKind.Week, PieceKind.Number, PieceKind.Number) when parts[1].IsShort && parts[2].IsYear =>
                (parts[2], parts[1]),
            (PieceKind.Week, PieceKind.Number, PieceKind.Number) when parts[1].Length == 4 && parts[2].IsShort =>
                (parts[1], parts[2]),
            (PieceKind.Number, PieceKind.Week, PieceKind.Number) when parts[0].IsShort && parts[2].IsYear =>
                (parts[2], parts[0]),
            (PieceKind.Number, PieceKind.Week, PieceKind.Number) when parts[0].Length == 4 && parts[2].IsShort =>
                (parts[0], parts[2]),
            (PieceKind.Number, PieceKind.Number, PieceKind.Week) when parts[0].Length == 4 && parts[1].IsShort =>
                (parts[0], parts[1]),
            _ => default,
        };
        return year.Length > 0;
    }

    /// <summary>Exactly so many numbers and words, with at most one separator between any two.</summary>
    public static bool Parts(ReadOnlySpan<Piece> pieces, Span<Piece> parts)
    {
        var found = 0;
        var afterPart = false;
        foreach (var piece in pieces)
        {
            if (piece.Kind == PieceKind.Separator)
            {
                if (!afterPart || !piece.IsBetween)
                {
                    return false;
                }

                afterPart = false;
            }
            else if (found == parts.Length)
            {
                return false;
            }
            else
            {
                parts[found++] = piece;
                afterPart = true;
            }
        }

        return found == parts.Length;
    }

    /// <summary>
    /// What stands after the name of a standard and its number (SFI 16.1, FIA 8853/98); all when it does not start so
    /// or when nothing but the number would be left out.
    /// </summary>
    public static ReadOnlySpan<Piece> WithoutStandard(in MarkText text, string name)
    {
        var pieces = text.Pieces;
        if (pieces.IsEmpty || pieces[0].Kind != PieceKind.Word || !text.Slice(pieces[0]).SequenceEqual(name))
        {
            return pieces;
        }

        var rest = SkipSeparator(pieces[1..]);
        if (rest is [{ IsNumber: true }, { IsBetween: true }, { IsNumber: true }, _, ..] && rest[1].Value != ' '
            && SkipSeparator(rest[3..]) is { IsEmpty: false } afterPair)
        {
            return afterPair;
        }

        return rest is [{ IsNumber: true, Length: 4 }, _, _, ..] && rest[1].Value == ' ' ? rest[2..] : rest;
    }

    private static ReadOnlySpan<Piece> SkipSeparator(ReadOnlySpan<Piece> pieces) =>
        !pieces.IsEmpty && pieces[0].Kind == PieceKind.Separator ? pieces[1..] : pieces;
}
