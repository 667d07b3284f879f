namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year digit and day of the year: 5123 is day 123 of a year that ends in 5.</summary>
/// <remarks>Common practice; EDIFACT 2379 knows the form. A trailing character is a shift or line.</remarks>
internal sealed class JulianYearDigitDay() : MarkConvention(new()
{
    Key = "julian-yddd",
    Name = "Year digit and day of the year",
    LooksLike = "Four figures, the last three from 001 to 366, perhaps with a letter behind: 5123, 5123B.",
    FoundOn = "Ink marks and labels of many makers.",
    ReadsAs = "Last figure of the year, then the day number.",
    Parts = [new("5", "last figure of the year"), new("123", "day of the year")],
    MistakenFor = "Week and year, or month and year.",
    Years = Eras.From(1950),
    Tag = Tag.Practice,
    Source = "common practice; EDIFACT 2379",
    Examples =
    [
        new("5123", DateSpan.Day(new(1955, 5, 3)), DateSpan.Day(new(1965, 5, 3)), DateSpan.Day(new(1975, 5, 3)),
            DateSpan.Day(new(1985, 5, 3)), DateSpan.Day(new(1995, 5, 3)), DateSpan.Day(new(2005, 5, 3)),
            DateSpan.Day(new(2015, 5, 3)), DateSpan.Day(new(2025, 5, 3))),
    ],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst | MarkOrder.DayNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (DayNumberText.TryRead(text, 1, 3, out var year, out var day, out var assumed))
        {
            collector.DayOfYear(year, 1, day, assumed);
        }
    }

    public override string? Render(MarkReading reading) =>
        (DateFigures.Year(reading.Span.First.Year, 1) + DateFigures.Three(reading.Span.First.DayOfYear))
            .WithKind(reading, this);
}
