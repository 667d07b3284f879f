namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Month letter and year digit of a battery: B9 is February of a year that ends in 9.</summary>
/// <remarks>
/// Common practice: I skipped (autoshop101.com battery module 127, B9 = February 1999) or A to L straight
/// (lakegolfcarts.com/datecodes.html). J, K and L differ by a month; M proves the first, I the second.
/// </remarks>
internal sealed class BatteryLetterDigit() : MarkConvention(new()
{
    Key = "battery-letter-digit",
    Name = "Battery month letter and year digit",
    LooksLike = "A letter from A to M and a figure, stamped in a post or the case: B9.",
    FoundOn = "Starter batteries; on some also a second one for the warranty.",
    ReadsAs = "Month letter, last figure of the year.",
    Parts = [new("B", "month"), new("99", "year")],
    MistakenFor = "September for October with J, and the newest decade that fits.",
    Years = Eras.From(1950),
    Tag = Tag.Practice,
    Source = "common practice; autoshop101.com, lakegolfcarts.com",
    Examples = [new("B99", DateSpan.Month(1999, 2))],
})
{
    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        var code = text.Compact;
        if (code is [_, 'O'] && collector.OnThisPart)
        {
            // No figure stands beside it to tell that it is a zero, but the convention has no letter there.
            ReadPair(code[0], 0, 1, collector, MarkAssumption.LetterOIsZero);
            return;
        }

        if (code.Length is not (2 or 3)
            || !char.IsAsciiLetterUpper(code[0])
            || !char.IsAsciiDigit(code[1])
            || !char.IsAsciiDigit(code[^1]))
        {
            return;
        }

        var year = code.Length == 2 ? code[1] - '0' : (code[1] - '0') * 10 + (code[2] - '0');
        ReadPair(code[0], year, code.Length - 1, collector, MarkAssumption.None);
    }

    private static void ReadPair(char letter, int year, int digits, ReadingCollector collector, MarkAssumption assumed)
    {
        if (letter is < 'A' or > 'M')
        {
            if (collector.Named)
            {
                collector.Refuse(DropCode.LetterNotUsed);
            }

            return;
        }

        var scheme = collector.Question.LetterScheme;
        if (scheme != LetterScheme.Unknown || letter <= 'H')
        {
            Add(letter, scheme, year, digits, collector, assumed);
            return;
        }

        if (letter != 'I')
        {
            Add(letter, LetterScheme.SkipI, year, digits, collector, assumed);
        }

        if (letter != 'M')
        {
            Add(letter, LetterScheme.AToL, year, digits, collector, assumed);
        }
    }

    private static void Add(
        char letter, LetterScheme scheme, int year, int digits, ReadingCollector collector, MarkAssumption assumed)
    {
        if (LetterMonth.Month(letter, scheme) is var month and > 0)
        {
            collector.Month(year, digits, month, LetterMonth.Assumption(letter, scheme) | assumed);
        }
        else
        {
            collector.Refuse(DropCode.LetterNotUsed);
        }
    }

    public override string? Render(MarkReading reading) =>
        (LetterMonth.Letter(reading.Span.First.Month, LetterMonth.SchemeOf(reading))
            + DateFigures.Year(reading.Span.First.Year, reading.YearDigits)).WithKind(reading, this);
}
