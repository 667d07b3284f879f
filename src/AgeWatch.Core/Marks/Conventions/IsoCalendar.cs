namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Calendar date of ISO 8601: 1985-04-12, 19850412, 1987-06 or 1974.</summary>
/// <remarks>Source: ISO 8601-1:2019, from memory.</remarks>
internal sealed class IsoCalendar() : MarkConvention(new()
{
    Key = "iso-calendar",
    Name = "ISO date",
    LooksLike =
        "Year in four figures, then month, then day: 1985-04-12; also without the dashes, or cut short to the month "
            + "or the year.",
    FoundOn = "Printed labels, test records, logs.",
    ReadsAs = "Year, month, day.",
    Parts = [new("1985", "year"), new("-"), new("04", "month"), new("-"), new("12", "day")],
    MistakenFor = "Year, day, month.",
    Years = Eras.FullYear,
    FiguresOnly = true,
    Tag = Tag.Memory,
    Source = "ISO 8601-1:2019",
    Examples =
    [
        new("1985-04-12", DateSpan.Day(new(1985, 4, 12))),
        new("1987-06", DateSpan.Month(1987, 6)),
        new("1974", DateSpan.Year(1974)),
    ],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst;

    internal override bool IsPlain(in MarkText text) =>
        PlainText.HasFullYear(text) || (text.IsPair(out var year, out _) && PlainText.IsFullYear(year));

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        var other = MarkAssumption.None;
        if (text.Numbers == 1 && text.Pieces[0] is { Length: 8, Value: var date })
        {
            collector.Day(date / 10_000, 4, date / 100 % 100, date % 100);
        }
        else if (text.Numbers == 1 && text.Pieces[0] is { Length: 4, Value: var alone })
        {
            collector.Year(alone, 4);
        }
        else if (text.IsPair(out var year, out var month) && year.Length == 4 && month.Length == 2)
        {
            other = text.Pieces[1].Value == '-' ? other : MarkAssumption.OtherSeparators;
            collector.Month(year.Value, 4, month.Value, other);
        }
        else if (text.IsTriple(out year, out month, out var day)
            && year.Length == 4
            && month.Length == 2
            && day.Length == 2)
        {
            other = text.Pieces[1].Value == '-' && text.Pieces[3].Value == '-' ? other : MarkAssumption.OtherSeparators;
            collector.Day(year.Value, 4, month.Value, day.Value, other);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var text = reading.Span.First.ToString("O", System.Globalization.CultureInfo.InvariantCulture);
        return (reading.Precision switch
        {
            MarkPrecision.Year => text[..4],
            MarkPrecision.Month => text[..7],
            _ => text,
        }).WithKind(reading, this);
    }
}
