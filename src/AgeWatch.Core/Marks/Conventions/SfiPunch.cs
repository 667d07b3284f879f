namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month and year punched in the label of a harness or suit: 06/18.</summary>
/// <remarks>
/// Common practice of sanctioning bodies (sccbc.net): older SFI 16.1 labels punch the month of manufacture, newer ones
/// the end of validity about two years later. Reading one as the other is a known mistake, so the words or the role
/// decide.
/// </remarks>
internal sealed class SfiPunch() : MarkConvention(new()
{
    Key = "sfi-punch",
    Name = "SFI label punch",
    LooksLike = "A grid of months and years with one of each punched out.",
    FoundOn = "Race harnesses, window nets, suits.",
    ReadsAs = "Month, year; of manufacture unless the label says valid until.",
    Parts = [new("06", "month punched"), new("/"), new("18", "year punched")],
    MistakenFor = "Expiry for manufacture, and the reverse.",
    Years = Eras.From(1978),
    LoneLetters = "",
    Tag = Tag.Practice,
    Source = "common practice of sanctioning bodies; SFI 16.1 from memory",
    Examples = [new("06/18", DateSpan.Month(2018, 6))],
})
{
    internal override MarkOrder Order => MarkOrder.YearLast | MarkOrder.OneNumber;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        var pieces = CalendarText.WithoutStandard(text, "SFI");
        var assumed = collector.Question.Role is null && !text.SaysMade && !text.SaysExpiry
            ? MarkAssumption.PunchIsMade
            : MarkAssumption.None;
        if (CalendarText.IsMonthYear(pieces, out var year, out var month))
        {
            collector.Month(year.Value, year.Length, month, assumed);
        }
    }

    public override string? Render(MarkReading reading) =>
        $"{DateFigures.Two(reading.Span.First.Month)}/{DateFigures.Year(reading.Span.First.Year, reading.YearDigits)}"
            .WithKind(reading, this);
}
