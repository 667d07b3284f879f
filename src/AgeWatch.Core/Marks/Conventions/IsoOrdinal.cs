using System.Globalization;

namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Ordinal date of ISO 8601: 1992-060 is 29 February 1992.</summary>
/// <remarks>Source: ISO 8601-1:2019, from memory.</remarks>
internal sealed class IsoOrdinal() : MarkConvention(new()
{
    Key = "iso-ordinal",
    Name = "ISO day of the year",
    LooksLike = "Year in four figures, then three for the day of the year: 1992-060, 1992060.",
    FoundOn = "Printed labels and batch codes.",
    ReadsAs = "Year, day number; 001 is 1 January.",
    Parts = [new("1992", "year"), new("-"), new("060", "day of the year")],
    MistakenFor = "A serial number.",
    Years = Eras.FullYear,
    FiguresOnly = true,
    Tag = Tag.Memory,
    Source = "ISO 8601-1:2019",
    Examples = [new("1992-060", DateSpan.Day(new(1992, 2, 29)))],
})
{
    internal override MarkOrder Order => MarkOrder.YearFirst | MarkOrder.DayNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.Numbers == 1 && text.Pieces[0] is { Length: 7, Value: var run })
        {
            collector.DayOfYear(run / 1000, 4, run % 1000);
        }
        else if (text.IsPair(out var year, out var day) && year.Length == 4 && day.Length == 3)
        {
            collector.DayOfYear(year.Value, 4, day.Value, text.Pieces[1].Value == '-'
                ? MarkAssumption.None
                : MarkAssumption.OtherSeparators);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return string.Create(CultureInfo.InvariantCulture, $"{first.Year:0000}-{first.DayOfYear:000}")
            .WithKind(reading, this);
    }
}
