namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year of manufacture on a seat belt sold in the USA.</summary>
/// <remarks>Source: 49 CFR 571.209 S4.1(j): year, model and maker. The lower bound of 1967 is from memory.</remarks>
internal sealed class BeltYear() : MarkConvention(new()
{
    Key = "fmvss209-belt-year",
    Name = "Seat belt year (USA)",
    LooksLike = "A year in two or four figures on a sewn label.",
    FoundOn = "Seat belt webbing near an anchorage.",
    ReadsAs = "The whole year of manufacture; the first of January counts.",
    Parts = [new("1986", "year")],
    MistakenFor = "A model number or the year of the standard.",
    Years = Eras.From(1967),
    FiguresOnly = true,
    Tag = Tag.Law,
    Source = "49 CFR 571.209 S4.1(j)",
    Examples = [new("1986", DateSpan.Year(1986)), new("86", DateSpan.Year(1986))],
})
{
    internal override bool KindIsFixed => true;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.Numbers == 1 && text.Pieces[0] is { IsYear: true } year)
        {
            collector.Year(year.Value, year.Length);
        }
    }

    public override string? Render(MarkReading reading) =>
        DateFigures.Year(reading.Span.First.Year, reading.YearDigits);
}
