namespace AgeWatch.Core.Marks.Conventions;

/// <summary>A year alone, in two or four figures.</summary>
/// <remarks>Common practice, no source.</remarks>
internal sealed class PlainYear() : MarkConvention(new()
{
    Key = "year",
    Name = "Year alone",
    LooksLike = "Two or four figures: 86, '86, 1986.",
    FoundOn = "Extinguisher bases, jack plates, labels.",
    ReadsAs = "The whole year; the first of January counts.",
    Parts = [new("1986", "year")],
    MistakenFor = "A part or model number.",
    Years = Eras.FullYear,
    FiguresOnly = true,
    Tag = Tag.Practice,
    Source = "common practice, no source",
    Examples = [new("1986", DateSpan.Year(1986)), new("86", DateSpan.Year(1986))],
})
{
    internal override bool IsPlain(in MarkText text) => text.Numbers == 1 && PlainText.IsFullYear(text.Pieces[0]);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.Numbers == 1 && text.Pieces[0] is { IsYear: true } year)
        {
            collector.Year(year.Value, year.Length);
        }
    }

    public override string? Render(MarkReading reading) =>
        DateFigures.Year(reading.Span.First.Year, reading.YearDigits).WithKind(reading, this);
}
