namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Week and year digit of a tyre in three figures: 409 is week 40 of a year that ends in 9.</summary>
/// <remarks>
/// Source: 64 FR 36807 (8 July 1999): three symbols until four were required from 2 July 2000; week rule 49 CFR 574.5.
/// A filled triangle after them stands for the 1990s: trade practice (magwheel.co.za/tyre-age), no regulation; its
/// absence rules nothing out.
/// </remarks>
internal sealed class TinWeekYearDigit() : MarkConvention(new()
{
    Key = "tin-wwy",
    Name = "Tyre week and year digit, three figures",
    LooksLike = "Three figures at the end of the DOT number, at times with a small filled triangle behind.",
    FoundOn = "One sidewall of a tyre made before July 2000.",
    ReadsAs = "Week, then the last figure of the year; the decade is not there. A triangle means the 1990s.",
    Parts = [new("40", "week"), new("9", "last figure of the year")],
    MistakenFor = "The newest decade that fits, which makes an old tyre look ten years younger.",
    Years = new(Eras.TyreRule, Eras.LastThreeFigures),
    FiguresOnly = true,
    Tag = Tag.Law,
    Source = "49 CFR 574.5 before 64 FR 36807 (8 July 1999)",
    Examples =
    [
        new("409", TinWeek.Span(1979, 40)!.Value, TinWeek.Span(1989, 40)!.Value, TinWeek.Span(1999, 40)!.Value),
        new("535", TinWeek.Span(1995, 53)!.Value),
    ],
})
{
    internal override bool KindIsFixed => true;

    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.TyreFigures;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.Separated && !collector.OnThisPart)
        {
            return;
        }

        if (text.Figures(3, firstGroup: 2) is var figures and >= 0)
        {
            Add(figures, text.Triangle, collector);
        }
    }

    internal static void Add(
        int figures, bool triangleInText, ReadingCollector collector, MarkAssumption assumed = MarkAssumption.None)
    {
        var (week, digit) = (figures / 10, figures % 10);
        var triangle = triangleInText || collector.Question.Triangle == YesNo.Yes;
        assumed |= TinAssumption.Of(collector.Question)
            | (triangle ? MarkAssumption.TriangleNineties : MarkAssumption.DecadeOpen)
            | (triangleInText ? MarkAssumption.TriangleInText : MarkAssumption.None);
        foreach (var year in collector.Years(digit, 1))
        {
            if (year > Eras.LastThreeFigures.Year)
            {
                break;
            }

            if (TinWeek.Span(year, week) is not { } days)
            {
                collector.Refuse(DropCode.WeekOutOfRange);
            }
            else if (days.First > Eras.LastThreeFigures)
            {
                collector.Drop(days, DropCode.OutsideConventionYears);
            }
            else if (triangle && year is < 1990 or > 1999)
            {
                collector.Drop(days, DropCode.TriangleSaysNineties);
            }
            else
            {
                collector.Add(days, MarkPrecision.TinWeek, 1, assumed);
            }
        }
    }

    public override string? Render(MarkReading reading)
    {
        var (year, week) = TinWeek.Of(reading.Span.First);
        return DateFigures.Two(week) + DateFigures.Year(year, 1)
            + (reading.Assumed.HasFlag(MarkAssumption.TriangleInText) ? "\u25C4" : "");
    }
}
