namespace AgeWatch.Core.Marks;

internal enum PieceKind
{
    Number,
    Month,
    Quarter,
    Week,
    Word,
    Separator,
}

/// <summary>A number, a word or a separator of a mark.</summary>
/// <param name="Value">The number (-1 beyond nine figures), the month, or the separator sign.</param>
internal readonly record struct Piece(PieceKind Kind, int Start, int Length, int Value)
{
    public bool IsNumber => Kind == PieceKind.Number;

    /// <summary>One or two figures.</summary>
    public bool IsShort => Kind == PieceKind.Number && Length <= 2;

    /// <summary>A separator that may stand inside a date.</summary>
    public bool IsBetween => Kind == PieceKind.Separator && Value is ' ' or '.' or '/' or '-';

    /// <summary>Two or four figures.</summary>
    public bool IsYear => Kind == PieceKind.Number && Length is 2 or 4;
}

/// <summary>A cleaned mark, cut into pieces; the words that only say "made" or "not after" are taken out and
/// remembered.</summary>
internal ref struct MarkText
{
    /// <summary>More pieces than any convention has; a text with more fits none of those that look at pieces.</summary>
    public const int MostPieces = 24;

    private readonly Span<char> compact;

    /// <param name="chars">Cleaned text.</param>
    /// <param name="compact">Room for as many characters.</param>
    /// <param name="pieces">Room for <see cref="MostPieces"/>.</param>
    public MarkText(ReadOnlySpan<char> chars, Span<char> compact, Span<Piece> pieces, bool triangle)
    {
        Chars = chars;
        Triangle = triangle;
        this.compact = compact;
        Cut(pieces);
    }

    /// <summary>The whole cleaned text.</summary>
    public ReadOnlySpan<char> Chars { get; }

    /// <summary>Empty when there were too many.</summary>
    public ReadOnlySpan<Piece> Pieces { get; private set; }

    /// <summary>The text from the first to the last piece that was not taken out; all of it when all was.</summary>
    public ReadOnlySpan<char> Body { get; private set; }

    /// <summary>The body without blanks, dots, slashes and dashes.</summary>
    public ReadOnlySpan<char> Compact { get; private set; }

    public bool Triangle { get; private set; }

    public bool SaysMade { get; private set; }

    public bool SaysExpiry { get; private set; }

    public bool SaysDot { get; private set; }

    /// <summary>No words but those taken out.</summary>
    public bool OnlyNumbers { get; private set; }

    /// <summary>How many numbers there are when there is nothing else but single separators; else 0.</summary>
    public int Numbers { get; private set; }

    /// <summary>The letters that stand alone, one bit each from A; the last bit for any that is not of the Latin
    /// 26.</summary>
    public uint LoneLetters { get; private set; }

    public static uint LetterBit(char letter) => 1u << (letter is >= 'A' and <= 'Z' ? letter - 'A' : 31);

    /// <summary>A separator other than a blank stands between the numbers.</summary>
    public bool Separated { get; private set; }

    /// <summary>The text as written.</summary>
    public readonly ReadOnlySpan<char> Slice(Piece piece) => Chars.Slice(piece.Start, piece.Length);

    /// <summary>Two numbers with one separator between.</summary>
    public readonly bool IsPair(out Piece a, out Piece b)
    {
        var fits = Numbers == 2;
        a = fits ? Pieces[0] : default;
        b = fits ? Pieces[2] : default;
        return fits;
    }

    /// <summary>Three numbers with one separator between each.</summary>
    public readonly bool IsTriple(out Piece a, out Piece b, out Piece c)
    {
        var fits = Numbers == 3;
        a = fits ? Pieces[0] : default;
        b = fits ? Pieces[2] : default;
        c = fits ? Pieces[4] : default;
        return fits;
    }

    /// <summary>
    /// Exactly so many figures, written together, singly, or in two groups of which the first has
    /// <paramref name="firstGroup"/>; -1 otherwise.
    /// </summary>
    public readonly int Figures(int count, int firstGroup)
    {
        if (Numbers == 0)
        {
            return -1;
        }

        int value = 0, figures = 0;
        for (var i = 0; i < Pieces.Length; i += 2)
        {
            figures += Pieces[i].Length;
            if (figures > count)
            {
                return -1;
            }

            value = value * Power(Pieces[i].Length) + Pieces[i].Value;
        }

        return figures == count
            && (Numbers == 1 || Numbers == count || (Numbers == 2 && Pieces[0].Length == firstGroup))
            ? value
            : -1;
    }

    private static int Power(int figures) => figures switch { 1 => 10, 2 => 100, 3 => 1000, 4 => 10_000, _ => 0 };

    private void Cut(Span<Piece> pieces)
    {
        int count = 0, i = 0;
        OnlyNumbers = true;
        while (i < Chars.Length)
        {
            var start = i;
            Piece piece;
            if (char.IsAsciiDigit(Chars[i]))
            {
                piece = NumberAt(ref i);
            }
            else if (char.IsLetter(Chars[i]))
            {
                while (i < Chars.Length && char.IsLetter(Chars[i]))
                {
                    i++;
                }

                var touches = count > 0
                    && pieces[count - 1].IsNumber
                    && pieces[count - 1].Start + pieces[count - 1].Length == start;
                if (TakenOut(Chars[start..i], i, touches, out var kind, out var month))
                {
                    continue;
                }

                OnlyNumbers = false;
                LoneLetters |= i - start == 1 ? LetterBit(Chars[start]) : 0;
                piece = new(kind, start, i - start, month);
            }
            else
            {
                var sign = Chars[i++];
                // A separator before the first piece, or after one whose words were taken out, separates nothing.
                if (count == 0
                    || (pieces[count - 1].Kind == PieceKind.Separator && (sign == ' ' || pieces[count - 1].Value == ' ')
                    && pieces[count - 1].Start + 1 != start))
                {
                    continue;
                }

                piece = new(PieceKind.Separator, start, 1, sign);
            }

            if (count == pieces.Length)
            {
                OnlyNumbers = false;
                SetBody(Chars);
                return;
            }

            pieces[count++] = piece;
        }

        while (count > 0 && pieces[count - 1].Kind == PieceKind.Separator)
        {
            count--;
        }

        Pieces = pieces[..count];
        SetBody(count == 0 ? Chars : Chars[pieces[0].Start..(pieces[count - 1].Start + pieces[count - 1].Length)]);
        CountNumbers();
    }

    private void SetBody(ReadOnlySpan<char> body)
    {
        var dense = 0;
        foreach (var sign in body)
        {
            if (sign is not (' ' or '.' or '/' or '-'))
            {
                compact[dense++] = sign;
            }
        }

        Body = body;
        Compact = compact[..dense];
    }

    private readonly Piece NumberAt(ref int i)
    {
        var start = i;
        var value = 0;
        while (i < Chars.Length && char.IsAsciiDigit(Chars[i]))
        {
            value = i - start < 9 ? value * 10 + (Chars[i] - '0') : -1;
            i++;
        }

        return new(PieceKind.Number, start, i - start, i - start > 9 ? -1 : value);
    }

    private bool TakenOut(ReadOnlySpan<char> word, int end, bool touchesNumber, out PieceKind kind, out int month)
    {
        kind = PieceKind.Word;
        var role = MarkWords.RoleOf(word, out month);
        switch (role)
        {
            case WordRole.Month:
                kind = PieceKind.Month;
                return false;
            case WordRole.Quarter:
                kind = PieceKind.Quarter;
                return false;
            case WordRole.Week:
                kind = PieceKind.Week;
                return false;
            case WordRole.Made:
                SaysMade = true;
                return true;
            case WordRole.Expiry:
                SaysExpiry = true;
                return true;
            case WordRole.Dot:
                SaysDot = true;
                return true;
            case WordRole.Triangle:
                Triangle = true;
                return true;
            case WordRole.Filler:
                return true;
            default:
                return (word is "DO" && Chars[end..].StartsWith(" NOT"))
                    || (touchesNumber && word is "ST" or "ND" or "RD" or "TH");
        }
    }

    private void CountNumbers()
    {
        if (!OnlyNumbers || Pieces.Length % 2 == 0)
        {
            return;
        }

        for (var i = 0; i < Pieces.Length; i++)
        {
            var piece = Pieces[i];
            if (i % 2 == 0
                ? !piece.IsNumber
                : piece.Kind != PieceKind.Separator || piece.Value is not (' ' or '.' or '/' or '-'))
            {
                Separated = false;
                return;
            }

            Separated |= i % 2 == 1 && piece.Value != ' ';
        }

        Numbers = (Pieces.Length + 1) / 2;
    }
}
