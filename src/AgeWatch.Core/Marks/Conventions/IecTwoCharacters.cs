namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Year letter and month of an electronic part: R1 is January of 1983, 2003 or 2023.</summary>
/// <remarks>
/// Source: IEC 60062 as quoted in an encyclopaedia; letters H to P from memory (forced: seven letters for seven years).
/// Letters run in cycles of 20 years without G I O Q Y Z; months are 1 to 9, then O N D, the letter O and never a zero.
/// </remarks>
internal sealed class IecTwoCharacters() : MarkConvention(new()
{
    Key = "iec60062-2char",
    Name = "Electronic part, two characters",
    LooksLike = "A letter, then a figure or O, N or D: R1, FO.",
    FoundOn = "Capacitors, resistors and other small electronic parts.",
    ReadsAs = "Year letter in a cycle of 20 years, then the month.",
    Parts = [new("X", "year, in a cycle of 20"), new("9", "month")],
    MistakenFor = "A battery code; FO with a zero.",
    Years = Eras.From(1970),
    Tag = Tag.Memory,
    Source = "IEC 60062",
    Examples = [new("X9", DateSpan.Month(1989, 9), DateSpan.Month(2009, 9))],
})
{
    private const string YearLetters = "ABCDEFHJKLMNPRSTUVWX";
    private const string MonthSigns = "123456789OND";

    internal override MarkOrder Order => MarkOrder.YearFirst;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        if (text.Compact.Length != 2 || !char.IsAsciiLetterUpper(text.Compact[0]) || text.Compact[1] == '0'
            || !char.IsAsciiLetterOrDigit(text.Compact[1]))
        {
            return;
        }

        var year = YearLetters.IndexOf(text.Compact[0], StringComparison.Ordinal);
        var month = MonthSigns.IndexOf(text.Compact[1], StringComparison.Ordinal) + 1;
        if (year < 0 || month == 0)
        {
            collector.Refuse(DropCode.LetterNotUsed);
            return;
        }

        foreach (var y in collector.Cycle((1970 + year) % 20, 20))
        {
            collector.Add(DateSpan.Month(y, month), MarkPrecision.Month, 1, MarkAssumption.DecadeOpen);
        }
    }

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        return $"{YearLetters[(first.Year - 1970) % 20]}{MonthSigns[first.Month - 1]}".WithKind(reading, this);
    }
}
