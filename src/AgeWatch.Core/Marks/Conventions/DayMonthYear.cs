namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Day, month, year: 25 04 92 is 25 April 1992.</summary>
/// <remarks>Common practice, no source. A Roman month (12.VII.92) is central European habit.</remarks>
internal sealed class DayMonthYear() : MarkConvention(new()
{
    Key = "dmy",
    Name = "Day, month, year",
    LooksLike = "Three numbers or six figures, the day first: 25.04.92, 250492, 25 APR 92.",
    FoundOn = "Stamped tags, stencils, stickers on belts and covers, outside North America.",
    ReadsAs = "Day, month, year.",
    Parts = [new("25", "day"), new(" "), new("04", "month"), new(" "), new("92", "year")],
    MistakenFor = "Month first, when both numbers are 12 or less.",
    Years = Eras.Stamped,
    LoneLetters = "IVX",
    Tag = Tag.Practice,
    Source = "common practice, no source",
    Examples = [new("25 04 92", DateSpan.Day(new(1992, 4, 25)))],
})
{
    internal override MarkOrder Order => MarkOrder.DayFirst | MarkOrder.YearLast;

    internal override bool IsPlain(in MarkText text) =>
        PlainText.HasFullYear(text) || CalendarText.IsNamedDay(text.Pieces, out _, out _, out _);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.IsTriple(out var day, out var month, out var year) && day.IsShort && month.IsShort && year.IsYear)
        {
            collector.Day(year.Value, year.Length, month.Value, day.Value);
        }
        else if (text.Numbers == 1 && text.Pieces[0] is { Length: 6, Value: var six })
        {
            collector.Day(six % 100, 2, six / 100 % 100, six / 10_000);
        }
        else if (text.Numbers == 1 && text.Pieces[0] is { Length: 8, Value: var eight })
        {
            collector.Day(eight % 10_000, 4, eight / 10_000 % 100, eight / 1_000_000);
        }
        else if (CalendarText.IsNamedDay(text.Pieces, out year, out var named, out day))
        {
            collector.Day(year.Value, year.Length, named, day.Value);
        }
        else
        {
            ReadRoman(text, collector);
        }
    }

    private static void ReadRoman(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[3];
        if (CalendarText.Parts(text.Pieces, parts)
            && parts[0].IsShort
            && parts[1].Kind == PieceKind.Word
            && parts[2].IsYear
            && MarkWords.Roman(text.Slice(parts[1])) is var roman and > 0)
        {
            collector.Day(parts[2].Value, parts[2].Length, roman, parts[0].Value, MarkAssumption.RomanMonth);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return $"{DateFigures.Two(first.Day)}.{DateFigures.Two(first.Month)}.{DateFigures.Year(first.Year, reading.YearDigits)}"
            .WithKind(reading, this);
    }
}
