namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year and week of an electronic part: 1208 is week 8 of 2012.</summary>
/// <remarks>Source: IEC 60062, from memory; its example 1208 was read in public text. ISO weeks are our
/// choice.</remarks>
internal sealed class IecFourCharacters() : MarkConvention(new()
{
    Key = "iec60062-4char",
    Name = "Electronic part, four characters",
    LooksLike = "Four figures, year first: 1208.",
    FoundOn = "Capacitors, resistors and other small electronic parts.",
    ReadsAs = "Last two figures of the year, then the week.",
    Parts = [new("12", "year"), new("08", "week")],
    MistakenFor = "Week and year.",
    Years = Eras.From(1970),
    FiguresOnly = true,
    Tag = Tag.Memory,
    Source = "IEC 60062; weeks by ISO 8601-1:2019",
    Examples = [new("1208", IsoWeek.Span(2012, 8)!.Value)],
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
