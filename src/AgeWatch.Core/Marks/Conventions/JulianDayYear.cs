namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Day of the year and two year figures: 12385 is day 123 of 1985.</summary>
/// <remarks>Common practice, no source: the reverse of <see cref="JulianYearDay"/>.</remarks>
internal sealed class JulianDayYear() : MarkConvention(new()
{
    Key = "julian-dddyy",
    Name = "Day of the year and year",
    LooksLike = "Five figures, the first three from 001 to 366, perhaps with a letter behind: 12385.",
    FoundOn = "Ink marks and labels of many makers.",
    ReadsAs = "Day number, then the last two figures of the year.",
    Parts = [new("123", "day of the year"), new("85", "year")],
    MistakenFor = "The reverse order; a part number.",
    Years = Eras.From(1950),
    Tag = Tag.Practice,
    Source = "common practice, no source",
    Examples = [new("12385", DateSpan.Day(new(1985, 5, 3)))],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.DayNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (DayNumberText.TryRead(text, 3, 2, out var day, out var year, out var assumed))
        {
            collector.DayOfYear(year, 2, day, assumed);
        }
    }

    public override string? Render(MarkReading reading) =>
        (DateFigures.Three(reading.Span.First.DayOfYear) + DateFigures.Two(reading.Span.First.Year % 100))
            .WithKind(reading, this);
}
