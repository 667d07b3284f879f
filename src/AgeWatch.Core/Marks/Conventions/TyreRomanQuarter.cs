namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Roman quarter and year of a European tyre before 1980: III/78.</summary>
/// <remarks>Common practice (toufexis.info/?post=3351); no standard found.</remarks>
internal sealed class TyreRomanQuarter() : MarkConvention(new()
{
    Key = "tyre-roman-quarter",
    Name = "Tyre, Roman quarter and year",
    LooksLike = "A Roman numeral I to IV and two figures: III/78.",
    FoundOn = "European tyres made before 1980.",
    ReadsAs = "Quarter, year.",
    Parts = [new("III", "quarter"), new("/"), new("78", "year")],
    MistakenFor = "A Roman month.",
    Years = new(new(1945, 1, 1), new(1979, 12, 31)),
    LoneLetters = "IVX",
    Tag = Tag.Practice,
    Source = "common practice; toufexis.info",
    Examples = [new("III/78", DateSpan.Quarter(1978, 3))],
})
{
    internal override bool KindIsFixed => true;

    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Span<Piece> parts = stackalloc Piece[2];
        if (CalendarText.Parts(text.Pieces, parts) && parts[0].Kind == PieceKind.Word && parts[1].IsYear
            && MarkWords.Roman(text.Slice(parts[0])) is var quarter and > 0)
        {
            collector.Quarter(parts[1].Value, parts[1].Length, quarter);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        var quarter = ((first.Month + 2) / 3) switch { 1 => "I", 2 => "II", 3 => "III", _ => "IV" };
        return $"{quarter}/{DateFigures.Year(first.Year, reading.YearDigits)}";
    }
}
