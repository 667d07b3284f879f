namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year and month in two pairs: 1012 is December 2010, 99/01 is January 1999.</summary>
/// <remarks>Common practice, no source. UN R67 plates of LPG tanks are said to carry it so (from memory, low
/// confidence).</remarks>
internal sealed class YearMonthFigures() : MarkConvention(new()
{
    Key = "yymm",
    Name = "Year and month, four figures",
    LooksLike = "Four figures, or two pairs with a slash, year first: 1012, 99/01.",
    FoundOn = "LPG tank plates, electronic and moulded parts.",
    ReadsAs = "Last two figures of the year, then the month.",
    Parts = [new("99", "year"), new("01", "month")],
    MistakenFor = "Month and year when both are 12 or less.",
    Years = Eras.Stamped,
    FiguresOnly = true,
    Tag = Tag.Practice,
    Source = "common practice, no source; UN R67 from memory",
    Examples = [new("9901", DateSpan.Month(1999, 1))],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.Figures(4, firstGroup: 2) is var figures and >= 0)
        {
            collector.Month(figures / 100, 2, figures % 100);
        }
    }

    public override string? Render(MarkReading reading) =>
        (DateFigures.Two(reading.Span.First.Year % 100) + DateFigures.Two(reading.Span.First.Month)).WithKind(
            reading, this);
}
