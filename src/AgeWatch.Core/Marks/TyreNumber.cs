namespace AgeWatch.Core.Marks;

/// <summary>The date group at the end of a whole tyre identification number.</summary>
/// <remarks>
/// Source: 49 CFR 574.5(a): 13 symbols (3 plant, 6, 4 date) since the rule of 13 April 2015, retreads 7 (3 and 4);
/// before that
/// 2 plant, 2 size, up to 4 optional, then the date, which had three symbols until July 2000 (NHTSA nht73-3.16, 64 FR
/// 36807).
/// </remarks>
internal readonly record struct TyreNumber
{
    private const int MostSymbols = 13;

    private TyreNumber(int four, int three, bool split, bool dateOnly)
    {
        Four = four;
        Three = three;
        Split = split;
        DateOnly = dateOnly;
    }

    /// <summary>The last four figures when they can be the date group, else -1.</summary>
    public int Four { get; }

    /// <summary>The last three figures when they can be the date group, else -1.</summary>
    public int Three { get; }

    /// <summary>No gap shows where the group starts.</summary>
    public bool Split { get; }

    /// <summary>Nothing stands before the date group.</summary>
    public bool DateOnly { get; }

    public bool HasDate => Four >= 0 || Three >= 0;

    /// <summary>False when the text is not a tyre number at all.</summary>
    public static bool TryRead(in MarkText text, out TyreNumber number)
    {
        number = new(-1, -1, false, false);
        var isMarked = HasPrefix(text.Chars);
        if (PlainText.IsInWords(text.Pieces) && (!isMarked || PlainText.HasMonth(text.Pieces)))
        {
            return false;
        }

        var chars = WithoutPrefix(isMarked ? text.Chars : text.Body, out var retread);
        Span<char> joined = stackalloc char[MostSymbols];
        int symbols = 0, last = 0, firstGroup = 0;
        foreach (var sign in chars)
        {
            if (char.IsAsciiLetterUpper(sign) || char.IsAsciiDigit(sign))
            {
                if (symbols == MostSymbols)
                {
                    return false;
                }

                joined[symbols++] = sign;
            }
            else if (sign is ' ' or '-' or '/' or '.')
            {
                last = symbols;
                firstGroup = firstGroup == 0 ? symbols : firstGroup;
            }
            else
            {
                return false;
            }
        }

        if (symbols < 3 || !CanBe(joined[..symbols], last, firstGroup, isMarked))
        {
            return false;
        }

        var figures = TrailingFigures(joined[..symbols]);
        var group = symbols - last;
        number = figures >= group && group is 3 or 4
            ? OfGroup(joined[last..symbols], last == 0)
            : OfWhole(joined[..symbols], figures, retread);
        return true;
    }

    /// <summary>
    /// A date is no tyre number: 01/2014 has too few symbols for one, 12/01/2014 no letter. Without DOT the first group
    /// is a works of two or three symbols, and one word before a year is not taken for it.
    /// </summary>
    private static bool CanBe(ReadOnlySpan<char> symbols, int last, int firstGroup, bool isMarked)
    {
        if (last == 0)
        {
            return isMarked || symbols.Length is 3 or 4 || symbols.ContainsAnyInRange('A', 'Z');
        }

        var ahead = symbols[..last];
        return isMarked ? symbols.Length >= 7 || !PlainText.IsFullYear(symbols[last..])
            : symbols.Length >= 7 && firstGroup is 2 or 3 && ahead.ContainsAnyInRange('A', 'Z')
                && (firstGroup < last || ahead.ContainsAnyInRange('0', '9') || !PlainText.IsFullYear(symbols[last..]));
    }

    /// <summary>Unreadable symbols ahead of the date group do not matter: each becomes a letter. Returns how many there
    /// were.</summary>
    public static int FillBeforeDate(Span<char> chars)
    {
        var filled = 0;
        if (HasPrefix(chars))
        {
            foreach (ref var sign in chars[..Math.Max(chars.LastIndexOfAny(" -./"), 0)])
            {
                if (sign == '?')
                {
                    sign = 'X';
                    filled++;
                }
            }
        }

        return filled;
    }

    /// <summary>Whether the text says DOT before anything that can be a tyre number.</summary>
    public static bool HasPrefix(ReadOnlySpan<char> chars) =>
        chars.StartsWith("DOT") || chars.StartsWith("D.O.T") || chars.Contains(" DOT ", StringComparison.Ordinal);

    /// <summary>What stands after DOT, and after the R of a retread; all when there is no DOT.</summary>
    private static ReadOnlySpan<char> WithoutPrefix(ReadOnlySpan<char> chars, out bool retread)
    {
        retread = false;
        if (chars.IndexOf(" DOT ") is var inside and >= 0)
        {
            chars = chars[(inside + 5)..];
        }
        else if (chars.StartsWith("DOT") || chars.StartsWith("D.O.T"))
        {
            chars = chars[(chars[1] == '.' ? 5 : 3)..].TrimStart(" -./:");
        }
        else
        {
            return chars;
        }

        retread = chars.StartsWith("R ") || chars.StartsWith("R-");
        return retread ? chars[2..] : chars;
    }

    private static TyreNumber OfGroup(ReadOnlySpan<char> group, bool alone) => group.Length == 4
        ? new(Value(group), -1, false, alone)
        : new(-1, Value(group), false, alone);

    /// <summary>Without a gap before the date only the count of symbols tells where it starts.</summary>
    private static TyreNumber OfWhole(ReadOnlySpan<char> all, int figures, bool retread)
    {
        var four = figures >= 4 && all.Length >= 7 ? Value(all[^4..]) : -1;
        var three = figures >= 3 && all.Length is >= 7 and <= 11 && !(retread && all.Length == 7)
            ? Value(all[^3..])
            : -1;
        return new(four, three, four >= 0 && three >= 0, false);
    }

    private static int TrailingFigures(ReadOnlySpan<char> symbols)
    {
        var count = 0;
        while (count < symbols.Length && char.IsAsciiDigit(symbols[^(count + 1)]))
        {
            count++;
        }

        return count;
    }

    private static int Value(ReadOnlySpan<char> figures)
    {
        var value = 0;
        foreach (var figure in figures)
        {
            value = value * 10 + (figure - '0');
        }

        return value;
    }
}
