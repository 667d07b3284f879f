namespace AgeWatch.Core.Marks.Conventions;

/// <summary>End of service life of a CNG container sold in the USA: Do Not Use After 06/2021.</summary>
/// <remarks>Source: 49 CFR 571.304 S7.4(h): month and year; containers made from 27 March 1995.</remarks>
internal sealed class GasCylinderExpiry() : MarkConvention(new()
{
    Key = "fmvss304-expiry",
    Name = "CNG container, do not use after (USA)",
    LooksLike = "The words Do Not Use After, then month and year.",
    FoundOn = "The label on a natural gas container.",
    ReadsAs = "Good to the last day of the month printed; then the container is finished, whatever it looks like.",
    Parts = [new("Do Not Use After "), new("06", "last month"), new("/"), new("2021", "its year")],
    MistakenFor = "The month of manufacture, which stands on the same label.",
    Years = new(new(1995, 3, 27), Eras.Open),
    Kind = MarkKind.Expiry,
    LoneLetters = "",
    Tag = Tag.Law,
    Source = "49 CFR 571.304 S7.4(h)",
    Examples = [new("Do Not Use After 06/2021", DateSpan.Month(2021, 6))],
})
{
    internal override bool KindIsFixed => true;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (CalendarText.IsMonthYear(text.Pieces, out var year, out var month)
            && collector.MayExpire(text, out var assumed))
        {
            collector.Month(year.Value, year.Length, month, assumed);
        }
    }

    public override string? Render(MarkReading reading) =>
        $"Do Not Use After "
            + $"{DateFigures.Two(reading.Span.First.Month)}/{DateFigures.Year(reading.Span.First.Year, reading.YearDigits)}";
}
