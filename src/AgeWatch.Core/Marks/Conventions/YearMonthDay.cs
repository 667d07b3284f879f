namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year, month, day: 92 04 25 is 25 April 1992.</summary>
/// <remarks>
/// Common practice, rare on stamps. NHTSA accepted it on child seats with the words year, month, day printed (letter
/// 08-002061).
/// </remarks>
internal sealed class YearMonthDay() : MarkConvention(new()
{
    Key = "ymd",
    Name = "Year, month, day",
    LooksLike = "Three numbers or six figures, the year first: 92/04/25, 920425, 1992.04.25.",
    FoundOn = "Labels of East Asian and Scandinavian makers, child seats.",
    ReadsAs = "Year, month, day.",
    Parts = [new("92", "year"), new(" "), new("04", "month"), new(" "), new("25", "day")],
    MistakenFor = "Day first, when the year figures are 31 or less.",
    Years = Eras.Stamped,
    FiguresOnly = true,
    Tag = Tag.Practice,
    Source = "common practice; NHTSA letter 08-002061",
    Examples = [new("92 04 25", DateSpan.Day(new(1992, 4, 25)))],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst;

    internal override bool IsPlain(in MarkText text) => PlainText.HasFullYear(text);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.IsTriple(out var year, out var month, out var day) && year.IsYear && month.IsShort && day.IsShort)
        {
            collector.Day(year.Value, year.Length, month.Value, day.Value);
        }
        else if (text.Numbers == 1 && text.Pieces[0] is { Length: 6, Value: var six })
        {
            collector.Day(six / 10_000, 2, six / 100 % 100, six % 100);
        }
        else if (text.Numbers == 1 && text.Pieces[0] is { Length: 8, Value: var eight })
        {
            collector.Day(eight / 10_000, 4, eight / 100 % 100, eight % 100);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return $"{DateFigures.Year(first.Year, reading.YearDigits)}/{DateFigures.Two(first.Month)}/{DateFigures.Two(first.Day)}"
            .WithKind(reading, this);
    }
}
