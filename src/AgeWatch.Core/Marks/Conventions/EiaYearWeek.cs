namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year and week of an electronic part: 8512 is week 12 of 1985.</summary>
/// <remarks>
/// Source: EIA-476, from memory (its scope was seen, not its week clause). Makers count week 1 in at least three ways;
/// ISO 8601 is our choice.
/// </remarks>
internal sealed class EiaYearWeek() : MarkConvention(new()
{
    Key = "eia-yyww",
    Name = "Electronic part, year and week",
    LooksLike = "Four figures, year first: 8512.",
    FoundOn = "Capacitors, relays, control units, instrument parts.",
    ReadsAs = "Last two figures of the year, then the week.",
    Parts = [new("85", "year"), new("12", "week")],
    MistakenFor = "Week and year: 1012 can be either.",
    Years = Eras.From(1960),
    FiguresOnly = true,
    Tag = Tag.Memory,
    Source = "EIA-476; weeks by ISO 8601-1:2019",
    Examples = [new("8512", IsoWeek.Span(1985, 12)!.Value)],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (FourFigures.Of(text, collector) is var figures and >= 0)
        {
            collector.OfIsoWeek(figures / 100, 2, figures % 100, MarkAssumption.IsoWeek);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var (year, week) = IsoWeek.Of(reading.Span.First);
        return (DateFigures.Two(year % 100) + DateFigures.Two(week)).WithKind(reading, this);
    }
}
