namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month and year in four figures: 1012 is October 2012.</summary>
/// <remarks>Common practice, no source.</remarks>
internal sealed class MonthYearFigures() : MarkConvention(new()
{
    Key = "mmyy",
    Name = "Month and year, four figures",
    LooksLike = "Four figures, month first: 1012.",
    FoundOn = "Stamps and ink marks of makers.",
    ReadsAs = "Month, then the last two figures of the year.",
    Parts = [new("10", "month"), new("90", "year")],
    MistakenFor = "Week and year, year and month.",
    Years = Eras.Stamped,
    FiguresOnly = true,
    Tag = Tag.Practice,
    Source = "common practice, no source",
    Examples = [new("1090", DateSpan.Month(1990, 10))],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (FourFigures.Of(text, collector) is var figures and >= 0)
        {
            collector.Month(figures % 100, 2, figures / 100);
        }
    }

    public override string? Render(MarkReading reading) =>
        (DateFigures.Two(reading.Span.First.Month) + DateFigures.Two(reading.Span.First.Year % 100)).WithKind(
            reading, this);
}
