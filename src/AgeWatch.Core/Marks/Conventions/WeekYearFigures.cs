namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Week and year in four figures on anything but a tyre: 1012 is week 10 of 2012.</summary>
/// <remarks>Common practice, no source; the week is taken as ISO 8601's.</remarks>
internal sealed class WeekYearFigures() : MarkConvention(new()
{
    Key = "wwyy-iso",
    Name = "Week and year, four figures",
    LooksLike = "Four figures, week first: 1012.",
    FoundOn = "Belts, relays, struts, moulded and electronic parts.",
    ReadsAs = "Week, then the last two figures of the year; Monday to Sunday.",
    Parts = [new("10", "week"), new("90", "year")],
    MistakenFor = "Year and week, month and year.",
    Years = Eras.Stamped,
    FiguresOnly = true,
    Tag = Tag.Practice,
    Source = "common practice, no source; weeks by ISO 8601-1:2019",
    Examples = [new("1090", IsoWeek.Span(1990, 10)!.Value)],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (FourFigures.Of(text, collector) is var figures and >= 0)
        {
            collector.OfIsoWeek(figures % 100, 2, figures / 100, MarkAssumption.IsoWeek);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var (year, week) = IsoWeek.Of(reading.Span.First);
        return (DateFigures.Two(week) + DateFigures.Two(year % 100)).WithKind(reading, this);
    }
}
