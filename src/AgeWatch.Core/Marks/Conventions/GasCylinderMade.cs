namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month of manufacture of a CNG container sold in the USA: Manufactured in 06/2001.</summary>
/// <remarks>Source: 49 CFR 571.304 S7.4(b): month and year; containers made from 27 March 1995.</remarks>
internal sealed class GasCylinderMade() : MarkConvention(new()
{
    Key = "fmvss304-made",
    Name = "CNG container, manufactured in (USA)",
    LooksLike = "The words Manufactured in, then month and year.",
    FoundOn = "The label on a natural gas container.",
    ReadsAs = "Month, year of manufacture.",
    Parts = [new("Manufactured in "), new("06", "month"), new("/"), new("2001", "year")],
    MistakenFor = "The end of service life, which stands on the same label.",
    Years = new(new(1995, 3, 27), Eras.Open),
    LoneLetters = "",
    Tag = Tag.Law,
    Source = "49 CFR 571.304 S7.4(b)",
    Examples = [new("Manufactured in 06/2001", DateSpan.Month(2001, 6))],
})
{
    internal override bool KindIsFixed => true;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if ((text.SaysMade || collector.OnThisPart)
            && CalendarText.IsMonthYear(text.Pieces, out var year, out var month))
        {
            collector.Month(year.Value, year.Length, month);
        }
    }

    public override string? Render(MarkReading reading) =>
        $"Manufactured in "
            + $"{DateFigures.Two(reading.Span.First.Month)}/{DateFigures.Year(reading.Span.First.Year, reading.YearDigits)}";
}
