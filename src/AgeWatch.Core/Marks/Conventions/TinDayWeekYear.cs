namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Day, week and year digit of a tyre before 2000: 3157 is week 15 of a year that ends in 7.</summary>
/// <remarks>
/// Source: NHTSA interpretation nht73-3.16 (24 January 1973): no objection. How the day is counted is not defined, so
/// only the week is claimed; that the day is 1 to 7 is our choice.
/// </remarks>
internal sealed class TinDayWeekYear() : MarkConvention(new()
{
    Key = "tin-dwwy",
    Name = "Tyre day, week and year digit, four figures",
    LooksLike = "Four figures at the end of the number of a tyre made before 2000.",
    FoundOn = "One sidewall of a few makers' tyres of the 1970s to 1990s.",
    ReadsAs = "Day of the week, week, last figure of the year; only the week is claimed.",
    Parts = [new("3", "day, not claimed"), new("15", "week"), new("7", "last figure of the year")],
    MistakenFor = "Week and year of a newer tyre: 3157 as week 31 of 1957 or 2057.",
    Years = new(Eras.TyreRule, Eras.LastThreeFigures),
    Tag = Tag.Standard,
    Source = "NHTSA interpretation nht73-3.16",
    Examples = [new(
        "3157", TinWeek.Span(1977, 15)!.Value, TinWeek.Span(1987, 15)!.Value, TinWeek.Span(1997, 15)!.Value)],
})
{
    internal override bool KindIsFixed => true;

    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.RareTyre;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        var figures = FourFigures.Of(text, collector);
        if (figures < 0 && text.SaysDot && TyreNumber.TryRead(text, out var number))
        {
            figures = number.Four;
        }

        if (figures < 0)
        {
            return;
        }

        if (figures / 1000 is < 1 or > 7)
        {
            collector.Refuse(DropCode.NoSuchDate);
            return;
        }

        var assumed = MarkAssumption.WeekOnly | MarkAssumption.DecadeOpen | TinAssumption.Of(collector.Question);
        foreach (var year in collector.Years(figures % 10, 1))
        {
            if (TinWeek.Span(year, figures / 10 % 100) is { } days)
            {
                collector.Add(days, MarkPrecision.TinWeek, 1, assumed);
            }
            else
            {
                collector.Refuse(DropCode.WeekOutOfRange);
            }
        }
    }

    public override string? Render(MarkReading reading)
    {
        var (year, week) = TinWeek.Of(reading.Span.First);
        return $"1{DateFigures.Two(week)}{DateFigures.Year(year, 1)}";
    }
}
