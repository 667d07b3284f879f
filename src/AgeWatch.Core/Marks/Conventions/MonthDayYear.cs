namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month, day, year: 04 25 92 is 25 April 1992.</summary>
/// <remarks>Common practice of North America, no source.</remarks>
internal sealed class MonthDayYear() : MarkConvention(new()
{
    Key = "mdy",
    Name = "Month, day, year",
    LooksLike = "Three numbers or six figures, the month first: 04/25/92, 042592, APR 25 92.",
    FoundOn = "Stamped tags, stencils and stickers of North American makers.",
    ReadsAs = "Month, day, year.",
    Parts = [new("04", "month"), new(" "), new("25", "day"), new(" "), new("92", "year")],
    MistakenFor = "Day first, when both numbers are 12 or less.",
    Years = Eras.Stamped,
    LoneLetters = "",
    Tag = Tag.Practice,
    Source = "common practice, no source",
    Examples = [new("04 25 92", DateSpan.Day(new(1992, 4, 25)))],
})
{
    internal override MarkOrder Order => MarkOrder.MonthFirst | MarkOrder.YearLast;

    internal override bool IsPlain(in MarkText text) =>
        PlainText.HasFullYear(text) || CalendarText.IsNamedDay(text.Pieces, out _, out _, out _);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.IsTriple(out var month, out var day, out var year) && day.IsShort && month.IsShort && year.IsYear)
        {
            collector.Day(year.Value, year.Length, month.Value, day.Value);
        }
        else if (text.Numbers == 1 && text.Pieces[0] is { Length: 6, Value: var six })
        {
            collector.Day(six % 100, 2, six / 10_000, six / 100 % 100);
        }
        else if (text.Numbers == 1 && text.Pieces[0] is { Length: 8, Value: var eight })
        {
            collector.Day(eight % 10_000, 4, eight / 1_000_000, eight / 10_000 % 100);
        }
        else if (CalendarText.IsNamedDay(text.Pieces, out year, out var named, out day))
        {
            collector.Day(year.Value, year.Length, named, day.Value);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return $"{DateFigures.Two(first.Month)}/{DateFigures.Two(first.Day)}/{DateFigures.Year(first.Year, reading.YearDigits)}"
            .WithKind(reading, this);
    }
}
