namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Week and year of a tyre in four figures: 0109 is 4 to 10 January 2009.</summary>
/// <remarks>Source: 49 CFR 574.5(b)(3), read as a verbatim quotation of the section; required from 2 July 2000 (64 FR
/// 36807).</remarks>
internal sealed class TinWeekYear() : MarkConvention(new()
{
    Key = "tin-wwyy",
    Name = "Tyre week and year, four figures",
    LooksLike = "Four figures in a raised oval at the end of the DOT number.",
    FoundOn = "One sidewall of a tyre made since 2000; often the inner side.",
    ReadsAs =
        "Week, then the last two figures of the year. Weeks run Sunday to Saturday; week 01 is the first full one.",
    Parts = [new("01", "week"), new("09", "year")],
    MistakenFor = "Year and week, or month and year; an ISO week, which starts one day later or six days earlier.",
    Years = new(Eras.TyreRule, Eras.Open),
    FiguresOnly = true,
    Tag = Tag.Law,
    Source = "49 CFR 574.5(b)(3)",
    Examples =
    [
        new("0109", new DateSpan(new(2009, 1, 4), new(2009, 1, 10))),
        new("5300", new DateSpan(new(2000, 12, 31), new(2001, 1, 6))),
    ],
})
{
    /// <summary>The final rule that brought four figures is of 8 July 1999.</summary>
    internal static readonly DateOnly FourFiguresKnown = new(1999, 7, 8);

    internal override bool KindIsFixed => true;

    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.TyreFigures;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (FourFigures.Of(text, collector) is var figures and >= 0)
        {
            Add(figures, collector);
        }
        else if (collector.OnThisPart && (CalendarText.IsNamedWeek(text.Pieces, out var year, out var week)
            || CalendarText.IsNumberYear(text.Pieces, out week, out year)))
        {
            AddWeek(week.Value, year.Value, year.Length, collector, MarkAssumption.None);
        }
    }

    internal static void Add(int figures, ReadingCollector collector, MarkAssumption assumed = MarkAssumption.None)
    {
        AddWeek(figures / 100, figures % 100, 2, collector, assumed);
    }

    private static void AddWeek(
        int week, int yearFigures, int yearDigits, ReadingCollector collector, MarkAssumption assumed)
    {
        assumed |= TinAssumption.Of(collector.Question);
        foreach (var year in collector.Years(yearFigures, yearDigits))
        {
            if (TinWeek.Span(year, week) is { } days)
            {
                var early = days.First < FourFiguresKnown ? MarkAssumption.FourFiguresEarly : MarkAssumption.None;
                collector.Add(days, MarkPrecision.TinWeek, yearDigits, assumed | early);
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
        return reading.YearDigits == 4 ? $"{DateFigures.Two(week)}/{DateFigures.Year(year, 4)}"
            : DateFigures.Two(week) + DateFigures.Two(year % 100);
    }
}

internal static class TinAssumption
{
    /// <summary>Outside the United States the week rule is an assumption: UN R54 3.1.8 does not define week
    /// 1.</summary>
    public static MarkAssumption Of(MarkQuestion question) =>
        question.Country is null || question.SoldInUsa ? MarkAssumption.None : MarkAssumption.UsWeek;
}
