namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Two year figures and day of the year: 18240 is day 240 of 2018.</summary>
/// <remarks>Common practice; a maker's own page gives 18240 and a supplier digit behind
/// (hopkinsmfg.com/date-coding).</remarks>
internal sealed class JulianYearDay() : MarkConvention(new()
{
    Key = "julian-yyddd",
    Name = "Year and day of the year",
    LooksLike = "Five figures, the last three from 001 to 366, perhaps with a letter behind: 18240, 85123B.",
    FoundOn = "Ink marks and labels of many makers.",
    ReadsAs = "Last two figures of the year, then the day number.",
    Parts = [new("18", "year"), new("240", "day of the year")],
    MistakenFor = "The reverse order; a part number.",
    Years = Eras.From(1950),
    Tag = Tag.Practice,
    Source = "common practice; hopkinsmfg.com/date-coding",
    Examples = [new("18240", DateSpan.Day(new(2018, 8, 28))), new("85123B", DateSpan.Day(new(1985, 5, 3)))],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst | MarkOrder.DayNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (DayNumberText.TryRead(text, 2, 3, out var year, out var day, out var assumed))
        {
            collector.DayOfYear(year, 2, day, assumed);
        }
    }

    public override string? Render(MarkReading reading) =>
        (DateFigures.Two(reading.Span.First.Year % 100) + DateFigures.Three(reading.Span.First.DayOfYear))
            .WithKind(reading, this);
}
