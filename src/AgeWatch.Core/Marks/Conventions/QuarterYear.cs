namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Quarter and year of cure: 3/94 is July to September 1994.</summary>
/// <remarks>Source: ISO 2230:2002 5.3(c), excerpt seen; its own example. Roman quarters are common practice, no
/// source.</remarks>
internal sealed class QuarterYear() : MarkConvention(new()
{
    Key = "quarter-year",
    Name = "Quarter and year",
    LooksLike = "One figure from 1 to 4, a slash and the year: 3/94. At times the quarter is Roman.",
    FoundOn = "Bags of rubber seals and diaphragms, hoses, ignition leads.",
    ReadsAs = "The quarter of the year in which the rubber was cured; the first day counts.",
    Parts = [new("3", "quarter"), new("/"), new("94", "year")],
    MistakenFor = "A month: 3/94 read as March 1994.",
    Years = Eras.From(1945),
    LoneLetters = "IVX",
    Tag = Tag.Standard,
    Source = "ISO 2230:2002 5.3(c)",
    Examples = [new("3/94", DateSpan.Quarter(1994, 3))],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[2];
        if (!CalendarText.Parts(text.Pieces, parts) || !parts[1].IsYear)
        {
            return;
        }

        if (parts[0].IsShort && text.Numbers == 2)
        {
            collector.Quarter(parts[1].Value, parts[1].Length, parts[0].Value);
        }
        else if (parts[0].Kind == PieceKind.Word && MarkWords.Roman(text.Slice(parts[0])) is var quarter and > 0)
        {
            collector.Quarter(parts[1].Value, parts[1].Length, quarter);
        }
    }

    public override string? Render(MarkReading reading) =>
        $"{(reading.Span.First.Month + 2) / 3}/{DateFigures.Year(reading.Span.First.Year, reading.YearDigits)}"
            .WithKind(reading, this);
}
