namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Cure date of a seal as quarter, Q and year: 2Q94.</summary>
/// <remarks>
/// Source: SAE ARP5316, from memory (the form was not read in its text). There storage is counted from the end of the
/// quarter; here the whole quarter is kept and its first day governs.
/// </remarks>
internal sealed class CureQuarter() : MarkConvention(new()
{
    Key = "cure-nQYY",
    Name = "Cure date with Q",
    LooksLike = "A figure from 1 to 4, the letter Q and the year: 2Q94, also Q2 94.",
    FoundOn = "Bags of seals, O-rings, diaphragms; ignition leads.",
    ReadsAs = "Quarter, year in which the rubber was cured.",
    Parts = [new("2", "quarter"), new("Q"), new("94", "year")],
    MistakenFor = "A part number.",
    Years = Eras.From(1945),
    LoneLetters = "Q",
    Tag = Tag.Memory,
    Source = "SAE ARP5316",
    Examples = [new("2Q94", DateSpan.Quarter(1994, 2))],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override bool IsPlain(in MarkText text) => PlainText.IsInWords(text.Pieces);

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[3];
        if (CalendarText.Parts(text.Pieces, parts))
        {
            if (parts[0].IsShort && parts[1].Kind == PieceKind.Quarter && parts[2].IsYear)
            {
                collector.Quarter(parts[2].Value, parts[2].Length, parts[0].Value);
            }
            else if (parts[0].Kind == PieceKind.Quarter && parts[1].IsShort && parts[2].IsYear)
            {
                collector.Quarter(parts[2].Value, parts[2].Length, parts[1].Value);
            }
        }
        else if (CalendarText.Parts(text.Pieces, parts[..2])
            && parts[0].Kind == PieceKind.Quarter
            && parts[1] is { Length: 3, IsNumber: true } run)
        {
            collector.Quarter(run.Value % 100, 2, run.Value / 100);
        }
    }

    public override string? Render(MarkReading reading) =>
        $"{(reading.Span.First.Month + 2) / 3}Q{DateFigures.Year(reading.Span.First.Year, reading.YearDigits)}"
            .WithKind(reading, this);
}
