namespace AgeWatch.Core.Marks.Conventions;

/// <summary>A whole tyre identification number, also of a retread: DOT 1AB CDEFGH 0115.</summary>
/// <remarks>Source: 49 CFR 574.5(a) and (b)(3); see <see cref="TyreNumber"/> for the counts of symbols.</remarks>
internal sealed class TinFull() : MarkConvention(new()
{
    Key = "tin-full",
    Name = "Whole tyre number",
    LooksLike = "DOT, then 7 to 13 letters and figures in groups; the last three or four figures are the date.",
    FoundOn = "One sidewall of a tyre; a retread has its own, which counts for the tread.",
    ReadsAs = "The last group: four figures are week and year, three are week and year digit.",
    Parts = [
        new("DOT "), new("1AB", "works"), new(" "), new("CDEFGH", "size and type"), new(" "), new("01", "week"),
        new("15", "year")],
    MistakenFor = "The shorter number on the other sidewall, which has no date.",
    Years = new(Eras.TyreRule, Eras.Open),
    Tag = Tag.Law,
    Source = "49 CFR 574.5(a), (b)(3)",
    Examples = [new("DOT 1AB CDEFGH 0115", TinWeek.Span(2015, 1)!.Value)],
})
{
    internal override bool KindIsFixed => true;

    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.TyreFigures;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if ((!collector.OnThisPart && !TyreNumber.HasPrefix(text.Chars)) || !TyreNumber.TryRead(text, out var number))
        {
            return;
        }

        if (!number.HasDate)
        {
            // On a part that is no tyre, DOT stands before other things.
            if ((collector.OnThisPart || !collector.Question.HasKind)
                && (collector.SecondTry || !LetterO.Touches(text.Chars)))
            {
                collector.Refuse(DropCode.NoDateGroup);
            }

            return;
        }

        var assumed = (number.Split ? MarkAssumption.DateGroupSplit : MarkAssumption.None)
            | (number.DateOnly ? MarkAssumption.DateGroupOnly : MarkAssumption.None);
        if (number.Four >= 0 && !(number.Split && text.Triangle))
        {
            TinWeekYear.Add(number.Four, collector, assumed);
        }

        if (number.Three >= 0)
        {
            TinWeekYearDigit.Add(number.Three, text.Triangle, collector, assumed);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var (year, week) = TinWeek.Of(reading.Span.First);
        return $"DOT {DateFigures.Two(week)}{DateFigures.Year(year, reading.YearDigits)}"
            + (reading.Assumed.HasFlag(MarkAssumption.TriangleInText) ? "\u25C4" : "");
    }
}
