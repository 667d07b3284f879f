using System.Globalization;

namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Week date of ISO 8601: 2009-W53, 2004-W53-6, 1985W157.</summary>
/// <remarks>Source: ISO 8601-1:2019, from memory; ISO 8601:1988 allowed two figures of the year (16W03), from memory;
/// the week rule is restated in NodaTime's WeekYearRules.Iso.</remarks>
internal sealed class IsoWeekDate() : MarkConvention(new()
{
    Key = "iso-week",
    Name = "ISO week",
    LooksLike =
        "Year in four figures, W and two for the week, at times one more for the weekday: 2009-W53, 1985W157; of old "
            + "at times two figures of the year.",
    FoundOn = "Printed labels of European makers.",
    ReadsAs = "Year, week, weekday from Monday = 1.",
    Parts = [new("2009", "year"), new("-W"), new("53", "week")],
    MistakenFor = "A tyre week, which starts on a Sunday.",
    Years = Eras.FullYear,
    LoneLetters = "W",
    Tag = Tag.Memory,
    Source = "ISO 8601-1:2019",
    Examples =
    [
        new("2009-W53", new DateSpan(new(2009, 12, 28), new(2010, 1, 3))),
        new("2004-W53-6", DateSpan.Day(new(2005, 1, 1))),
    ],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst;

    internal override bool IsPlain(in MarkText text) => PlainText.IsInWords(text.Pieces);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[4];
        if (CalendarText.Parts(text.Pieces, parts[..3]))
        {
            if (IsWeek(text, parts) && parts[2].Length == 2)
            {
                collector.OfIsoWeek(parts[0].Value, 4, parts[2].Value);
            }
            else if (parts[0] is { IsNumber: true, Length: 2 } && parts[2] is { IsNumber: true, Length: 2 }
                && parts[1].Kind == PieceKind.Week && text.Slice(parts[1]) is "W")
            {
                collector.OfIsoWeek(parts[0].Value, 2, parts[2].Value);
            }
            else if (IsWeek(text, parts) && parts[2].Length == 3)
            {
                Day(parts[0].Value, parts[2].Value / 10, parts[2].Value % 10, collector);
            }
        }
        else if (CalendarText.Parts(text.Pieces, parts)
            && IsWeek(text, parts)
            && parts[2].Length == 2
            && parts[3] is { IsNumber: true, Length: 1 })
        {
            Day(parts[0].Value, parts[2].Value, parts[3].Value, collector);
        }
    }

    private static bool IsWeek(in MarkText text, ReadOnlySpan<Piece> parts) =>
        parts[0] is { IsNumber: true, Length: 4 }
            && parts[1].Kind == PieceKind.Week
            && text.Slice(parts[1]) is "W"
            && parts[2].IsNumber;

    private static void Day(int year, int week, int weekday, ReadingCollector collector)
    {
        if (weekday is < 1 or > 7)
        {
            collector.Refuse(DropCode.NoSuchDate);
            return;
        }

        foreach (var y in collector.Years(year, 4))
        {
            if (IsoWeek.Span(y, week) is { } days)
            {
                collector.Add(DateSpan.Day(days.First.AddDays(weekday - 1)), MarkPrecision.IsoWeekDay, 4);
            }
            else
            {
                collector.Refuse(DropCode.WeekOutOfRange);
            }
        }
    }

    public override string? Render(MarkReading reading)
    {
        var (year, week) = IsoWeek.Of(reading.Span.First);
        var text = string.Create(CultureInfo.InvariantCulture, $"{year:0000}-W{week:00}");
        if (reading.YearDigits == 2)
        {
            return $"{DateFigures.Two(year % 100)}W{DateFigures.Two(week)}".WithKind(reading, this);
        }

        return (reading.Precision == MarkPrecision.IsoWeekDay
            ? string.Create(CultureInfo.InvariantCulture, $"{text}-{IsoWeek.Weekday(reading.Span.First)}")
            : text).WithKind(reading, this);
    }
}
