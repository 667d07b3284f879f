namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month and year: 3/94 is March 1994.</summary>
/// <remarks>Common practice, no source. A Roman month (VII.84) is central European habit.</remarks>
internal sealed class MonthYear() : MarkConvention(new()
{
    Key = "month-year",
    Name = "Month and year",
    LooksLike = "One or two figures, a separator and the year, or the month as a word: 3/94, 03.1994, JUN 94.",
    FoundOn = "Hoses, labels, plates, tags, cylinders, crimp collars.",
    ReadsAs = "Month, year.",
    Parts = [new("10", "month"), new("/"), new("90", "year")],
    MistakenFor = "A quarter when the number is 4 or less, a week always.",
    Years = Eras.Stamped,
    LoneLetters = "IVX",
    Tag = Tag.Practice,
    Source = "common practice, no source",
    Examples = [new("10/90", DateSpan.Month(1990, 10)), new("JUN 94", DateSpan.Month(1994, 6))],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override bool IsPlain(in MarkText text) =>
        CalendarText.IsMonthYear(text.Pieces, out _, out _);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (CalendarText.IsNumberYear(text.Pieces, out var month, out var year))
        {
            collector.Month(year.Value, year.Length, month.Value);
        }
        else if (CalendarText.IsNamedMonth(text.Pieces, out year, out var named))
        {
            collector.Month(year.Value, year.Length, named);
        }
        else
        {
            ReadRoman(text, collector);
        }
    }

    private static void ReadRoman(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[2];
        if (CalendarText.Parts(text.Pieces, parts) && parts[0].Kind == PieceKind.Word && parts[1].IsYear
            && MarkWords.Roman(text.Slice(parts[0])) is var roman and > 0)
        {
            collector.Month(parts[1].Value, parts[1].Length, roman, MarkAssumption.RomanMonth);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return $"{DateFigures.Two(first.Month)}/{DateFigures.Year(first.Year, reading.YearDigits)}".WithKind(
            reading, this);
    }
}
