namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Date in the legend of a hydraulic brake hose sold in the USA: month first by law.</summary>
/// <remarks>
/// Source: 49 CFR 571.106 S5.2.2(c): month, day and year, or month and year, in numerals, "such as 10/1/96".
/// The legend may lawfully be absent from hose sold in an assembly or a vehicle (S5.2.4).
/// </remarks>
internal sealed class BrakeHoseLegend() : MarkConvention(new()
{
    Key = "fmvss106-hose",
    Name = "Brake hose legend (USA)",
    LooksLike =
        "Month, day and year, or month and year, in figures with slashes, among DOT, the maker and the bore: 10/1/96.",
    FoundOn = "Printed along hydraulic brake and clutch hose; on an assembly look for a band or a tag.",
    ReadsAs = "Month, day, year: 10/1/96 is 1 October 1996. Month first by law.",
    Parts = [new("10", "month"), new("/"), new("1", "day"), new("/"), new("96", "year")],
    MistakenFor = "Day first: 10 January 1996.",
    Years = new(new(1974, 9, 1), Eras.Open),
    Tag = Tag.Law,
    Source = "49 CFR 571.106 S5.2.2(c)",
    Examples =
    [
        new("10/1/96", DateSpan.Day(new(1996, 10, 1))),
        new("10/96", DateSpan.Month(1996, 10)),
    ],
})
{
    internal override bool KindIsFixed => true;

    internal override MarkOrder Order => MarkOrder.MonthFirst | MarkOrder.YearLast | MarkOrder.UsaHose;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.SaysDot)
        {
            if (HoseLegend.TryFind(text.Pieces, out var m, out var d, out var y))
            {
                Add(m, d, y, collector);
            }
        }
        else if (text.IsTriple(out var month, out var day, out var year) && month.IsShort && day.IsShort && year.IsYear)
        {
            Add(month, day, year, collector);
        }
        else if (CalendarText.IsNumberYear(text.Pieces, out month, out year))
        {
            Add(month, default, year, collector);
        }
        else if (collector.OnThisPart && text.Numbers == 1 && text.Pieces[0] is { Length: 6, Value: var figures })
        {
            collector.Day(figures % 100, 2, figures / 10_000, figures / 100 % 100);
        }
        else if (collector.OnThisPart)
        {
            ReadNamed(text, collector);
        }
    }

    private static void Add(Piece month, Piece day, Piece year, ReadingCollector collector)
    {
        if (day == default)
        {
            var assumed = HoseLegend.IsBore(month, year) ? MarkAssumption.PerhapsBore : MarkAssumption.None;
            collector.Month(year.Value, year.Length, month.Value, assumed);
        }
        else
        {
            collector.Day(year.Value, year.Length, month.Value, day.Value);
        }
    }

    private static void ReadNamed(in MarkText text, ReadingCollector collector)
    {
        if (CalendarText.IsNamedDay(text.Pieces, out var year, out var month, out var day))
        {
            collector.Day(year.Value, year.Length, month, day.Value);
        }
        else if (CalendarText.IsNamedMonth(text.Pieces, out year, out month))
        {
            collector.Month(year.Value, year.Length, month);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        var year = DateFigures.Year(first.Year, reading.YearDigits);
        return reading.Precision == MarkPrecision.Month ? $"{first.Month}/{year}" : $"{first.Month}/{first.Day}/{year}";
    }
}
