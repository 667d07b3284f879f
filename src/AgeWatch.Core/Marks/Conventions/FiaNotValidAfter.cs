namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year in which a harness, seat or extinguishing system runs out: Not valid after 2020.</summary>
/// <remarks>
/// Common practice (naroescapemotorsports.com): good to 31 December of that year; FIA 8853/98 itself from memory. A
/// month or a full date is read where one stands instead of the year.
/// </remarks>
internal sealed class FiaNotValidAfter() : MarkConvention(new()
{
    Key = "fia-not-valid-after",
    Name = "FIA label, not valid after",
    LooksLike = "The words Not valid after and a year.",
    FoundOn = "Every strap of a race harness, race seats, nets.",
    ReadsAs = "Good to 31 December of that year.",
    Parts = [new("Not valid after "), new("2020", "last year of use")],
    MistakenFor = "The year of manufacture, five years earlier.",
    Years = Eras.From(1985),
    Kind = MarkKind.Expiry,
    LoneLetters = "",
    Tag = Tag.Practice,
    Source = "common practice; FIA 8853/98 from memory",
    Examples = [new("Not valid after 2020", DateSpan.Year(2020))],
})
{
    internal override bool KindIsFixed => true;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        var pieces = CalendarText.WithoutStandard(text, "FIA");
        Span<Piece> parts = stackalloc Piece[3];
        if (CalendarText.Parts(pieces, parts[..1]) && parts[0].IsYear && collector.MayExpire(text, out var assumed))
        {
            collector.Year(parts[0].Value, parts[0].Length, assumed);
        }
        else if (CalendarText.IsMonthYear(pieces, out var year, out var month)
            && collector.MayExpire(text, out assumed))
        {
            collector.Month(year.Value, year.Length, month, assumed);
        }
        else if (CalendarText.Parts(pieces, parts) && parts[0].IsShort && parts[1].IsShort && parts[2].IsYear
            && collector.MayExpire(text, out assumed))
        {
            collector.Day(parts[2].Value, parts[2].Length, parts[1].Value, parts[0].Value, assumed);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        var year = DateFigures.Year(first.Year, reading.YearDigits);
        return "Not valid after " + reading.Precision switch
        {
            MarkPrecision.Year => year,
            MarkPrecision.Month => $"{DateFigures.Two(first.Month)}/{year}",
            _ => $"{DateFigures.Two(first.Day)}.{DateFigures.Two(first.Month)}.{year}",
        };
    }
}
