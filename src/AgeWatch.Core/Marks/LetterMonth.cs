namespace AgeWatch.Core.Marks;

/// <summary>Months written as letters, by either scheme.</summary>
/// <remarks>Common practice: see <see cref="LetterScheme"/>.</remarks>
internal static class LetterMonth
{
    /// <summary>1 to 12, or 0 when the scheme does not use the letter.</summary>
    public static int Month(char letter, LetterScheme scheme) => (letter, scheme) switch
    {
        ( >= 'A' and <= 'H', _) => letter - 'A' + 1,
        ( >= 'I' and <= 'L', LetterScheme.AToL) => letter - 'A' + 1,
        ( >= 'J' and <= 'M', LetterScheme.SkipI) => letter - 'A',
        _ => 0,
    };

    public static char Letter(int month, LetterScheme scheme) =>
        (char)('A' + month - (month > 8 && scheme == LetterScheme.SkipI ? 0 : 1));

    /// <summary>What is taken for granted: nothing for A to H, which mean the same in both.</summary>
    public static MarkAssumption Assumption(char letter, LetterScheme scheme) =>
        letter <= 'H' ? MarkAssumption.None : scheme == LetterScheme.SkipI ? MarkAssumption.SkipI : MarkAssumption.AToL;

    /// <summary>
    /// One day by the convention's own scheme, and for J, K and L, which both schemes use, by the other one too unless
    /// the scheme is known.
    /// </summary>
    public static void Days(char letter, LetterScheme own, int day, int year, int digits, ReadingCollector collector)
    {
        if (Month(letter, own) is var month and > 0)
        {
            collector.Day(year, digits, month, day, Assumption(letter, own));
        }
        else if (letter <= 'M' || collector.Named)
        {
            collector.Refuse(DropCode.LetterNotUsed);
        }

        if (letter is >= 'J' and <= 'L' && collector.Question.LetterScheme == LetterScheme.Unknown)
        {
            var other = own == LetterScheme.SkipI ? LetterScheme.AToL : LetterScheme.SkipI;
            collector.Day(year, digits, Month(letter, other), day, Assumption(letter, other));
        }
    }

    /// <summary>The scheme that a reading was made by.</summary>
    public static LetterScheme SchemeOf(MarkReading reading) =>
        reading.Assumed.HasFlag(MarkAssumption.SkipI) ? LetterScheme.SkipI : LetterScheme.AToL;
}
