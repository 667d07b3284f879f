namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month and year of a motorcycle helmet sold in the USA: June 2010 or 6/10.</summary>
/// <remarks>Source: 49 CFR 571.218 S5.6.1(c), with both forms as its own examples. In force 1 March 1974 (from
/// memory).</remarks>
internal sealed class HelmetMonth() : MarkConvention(new()
{
    Key = "fmvss218-helmet",
    Name = "Motorcycle helmet (USA)",
    LooksLike = "The month spelled or in figures, then the year: June 2010, 6/10.",
    FoundOn = "A label inside the helmet.",
    ReadsAs = "Month, year.",
    Parts = [new("6", "month"), new("/"), new("10", "year")],
    MistakenFor = "The year of the standard the helmet passed.",
    Years = new(new(1974, 3, 1), Eras.Open),
    LoneLetters = "",
    Tag = Tag.Law,
    Source = "49 CFR 571.218 S5.6.1(c)",
    Examples = [new("6/10", DateSpan.Month(2010, 6)), new("June 2010", DateSpan.Month(2010, 6))],
})
{
    internal override bool KindIsFixed => true;

    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (CalendarText.IsMonthYear(text.Pieces, out var year, out var month))
        {
            collector.Month(year.Value, year.Length, month);
        }
    }

    public override string? Render(MarkReading reading) =>
        $"{reading.Span.First.Month}/{DateFigures.Year(reading.Span.First.Year, reading.YearDigits)}";
}
