namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month letter, day and year of a casting: F 10 5 is 10 June of a year that ends in 5.</summary>
/// <remarks>
/// Common practice (nationalnova.com/engineinfo4.html, chevytech.com/3c10o5.html), letters straight from A to L unless
/// said otherwise. Without gaps A257 is 25 January of a 7 year or 2 January 1957. The decade comes from the part
/// number.
/// </remarks>
internal sealed class CastingLetterDayYear() : MarkConvention(new()
{
    Key = "casting-letter-day-year",
    Name = "Casting month letter, day, year",
    LooksLike = "A letter from A to L and two or three groups of figures, raised: F 10 5, A257.",
    FoundOn = "Cast blocks, heads, housings, manifolds.",
    ReadsAs = "Month letter, day, last figure or two of the year.",
    Parts = [new("F", "month"), new(" "), new("10", "day"), new(" "), new("65", "year")],
    MistakenFor = "Year and day the other way round; another decade.",
    Years = Eras.From(1930),
    LoneLetters = "ABCDEFGHIJKLM",
    Tag = Tag.Practice,
    Source = "common practice; nationalnova.com, chevytech.com",
    Examples = [new("F 10 65", DateSpan.Day(new(1965, 6, 10)))],
})
{
    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[3];
        if (CalendarText.Parts(text.Pieces, parts))
        {
            if (IsLetter(parts[0])
                && parts[1].IsShort
                && (parts[2].IsYear || parts[2] is { IsNumber: true, Length: 1 }))
            {
                Add(text.Slice(parts[0])[0], parts[1].Value, parts[2].Value, parts[2].Length, collector);
            }
        }
        else if (CalendarText.Parts(text.Pieces, parts[..2])
            && IsLetter(parts[0])
            && parts[1] is { IsNumber: true, Length: >= 2 and <= 4 } run)
        {
            Split(text.Slice(parts[0])[0], run, collector);
        }
    }

    private static bool IsLetter(Piece piece) => piece.Kind == PieceKind.Word && piece.Length == 1;

    /// <summary>One or two figures of the run are the day, the rest the year; a day does not start with a lone
    /// zero.</summary>
    private static void Split(char letter, Piece run, ReadingCollector collector)
    {
        if (run.Length is 2 or 3)
        {
            var rest = run.Length == 2 ? 10 : 100;
            if (run.Value / rest > 0)
            {
                Add(letter, run.Value / rest, run.Value % rest, run.Length - 1, collector);
            }
        }

        if (run.Length is 3 or 4)
        {
            var rest = run.Length == 3 ? 10 : 100;
            Add(letter, run.Value / rest, run.Value % rest, run.Length - 2, collector);
        }
    }

    private static void Add(char letter, int day, int year, int digits, ReadingCollector collector)
    {
        var scheme = collector.Question.LetterScheme == LetterScheme.SkipI ? LetterScheme.SkipI : LetterScheme.AToL;
        LetterMonth.Days(letter, scheme, day, year, digits, collector);
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return $"{LetterMonth.Letter(first.Month, LetterMonth.SchemeOf(reading))} {first.Day} "
            + $"{DateFigures.Year(first.Year, reading.YearDigits)}"
            .WithKind(reading, this);
    }
}
