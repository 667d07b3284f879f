namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Week and year: 10/90 is week 10 of 1990.</summary>
/// <remarks>Common practice, no source; the week is taken as ISO 8601's.</remarks>
internal sealed class WeekYearIso() : MarkConvention(new()
{
    Key = "week-year-iso",
    Name = "Week and year",
    LooksLike =
        "One or two figures, a separator and the year: 10/90, at times with W, WK or KW before or between: 16W03.",
    FoundOn = "Hoses, belts, gas struts, relays, looms.",
    ReadsAs = "Week, year; Monday to Sunday.",
    Parts = [new("10", "week"), new("/"), new("90", "year")],
    MistakenFor = "Month and year when the number is 12 or less.",
    Years = Eras.Stamped,
    LoneLetters = "W",
    Tag = Tag.Practice,
    Source = "common practice, no source; weeks by ISO 8601-1:2019",
    Examples = [new("10/90", IsoWeek.Span(1990, 10)!.Value)],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override bool IsPlain(in MarkText text) => CalendarText.IsNamedWeek(text.Pieces, out _, out _);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (CalendarText.IsNumberYear(text.Pieces, out var week, out var year))
        {
            collector.OfIsoWeek(year.Value, year.Length, week.Value, MarkAssumption.IsoWeek);
        }
        else if (CalendarText.IsNamedWeek(text.Pieces, out year, out week))
        {
            collector.OfIsoWeek(year.Value, year.Length, week.Value, MarkAssumption.IsoWeek);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var (year, week) = IsoWeek.Of(reading.Span.First);
        return $"{DateFigures.Two(week)}/{DateFigures.Year(year, reading.YearDigits)}".WithKind(reading, this);
    }
}
