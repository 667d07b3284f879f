namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year, month letter and day of a casting: 6B10 is 10 February of a year that ends in 6.</summary>
/// <remarks>Common practice (fordclassics.com/date-codes), the letter I skipped unless said otherwise.</remarks>
internal sealed class CastingYearLetterDay() : MarkConvention(new()
{
    Key = "casting-year-letter-day",
    Name = "Casting year, month letter, day",
    LooksLike = "A figure, a letter from A to M and one or two figures, raised: 6B10.",
    FoundOn = "Cast blocks, heads, housings, manifolds.",
    ReadsAs = "Last figure of the year, month letter without I, day.",
    Parts = [new("66", "year"), new("B", "month"), new("10", "day")],
    MistakenFor = "The reverse order of other makers; another decade.",
    Years = Eras.From(1930),
    LoneLetters = "ABCDEFGHIJKLM",
    Tag = Tag.Practice,
    Source = "common practice; fordclassics.com",
    Examples = [new("66B10", DateSpan.Day(new(1966, 2, 10)))],
})
{
    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[3];
        if (!CalendarText.Parts(text.Pieces, parts) || !(parts[0].IsYear || parts[0] is { IsNumber: true, Length: 1 })
            || parts[1].Kind != PieceKind.Word || parts[1].Length != 1 || !parts[2].IsShort)
        {
            return;
        }

        var letter = text.Slice(parts[1])[0];
        var scheme = collector.Question.LetterScheme == LetterScheme.AToL ? LetterScheme.AToL : LetterScheme.SkipI;
        LetterMonth.Days(letter, scheme, parts[2].Value, parts[0].Value, parts[0].Length, collector);
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return $"{DateFigures.Year(first.Year, reading.YearDigits)}{LetterMonth.Letter(first.Month, LetterMonth.SchemeOf(reading))}{first.Day}"
            .WithKind(reading, this);
    }
}
