using System.Numerics;

namespace AgeWatch.Core.Marks;

/// <summary>What was taken for granted in a reading. Each is said in words with the reading.</summary>
[Flags]
internal enum MarkAssumption
{
    None = 0,
    LetterOIsZero = 1 << 0,
    Completed = 1 << 1,
    UsWeek = 1 << 2,
    IsoWeek = 1 << 3,
    DecadeOpen = 1 << 4,
    FourFiguresEarly = 1 << 5,
    TriangleNineties = 1 << 6,
    WeekOnly = 1 << 7,
    SkipI = 1 << 8,
    AToL = 1 << 9,
    SuffixIgnored = 1 << 10,
    ClockMargin = 1 << 11,
    DotsAreMonths = 1 << 12,
    PunchIsMade = 1 << 13,
    WordsMissing = 1 << 14,
    NotUsualHere = 1 << 15,
    OtherSeparators = 1 << 16,
    DateGroupSplit = 1 << 17,
    KindByWords = 1 << 18,
    KindByConvention = 1 << 19,
    TriangleInText = 1 << 20,
    RomanMonth = 1 << 21,
    DateGroupOnly = 1 << 22,
    OwnWeek = 1 << 23,
    PerhapsBore = 1 << 24,
    InLegend = 1 << 25,
    PlainDate = 1 << 26,
}

internal static class MarkAssumptionText
{
    public static IReadOnlyList<string> Sentences(this MarkAssumption assumptions)
    {
        if (assumptions == MarkAssumption.None)
        {
            return [];
        }

        var sentences = new List<string>(BitOperations.PopCount((uint)assumptions));
        for (var bits = (uint)assumptions; bits != 0; bits &= bits - 1)
        {
            sentences.Add(Sentence((MarkAssumption)(1u << BitOperations.TrailingZeroCount(bits))));
        }

        return sentences;
    }

    private static string Sentence(MarkAssumption assumption) => assumption switch
    {
        MarkAssumption.LetterOIsZero => "A letter O was read as a zero.",
        MarkAssumption.Completed => "An unreadable character was completed in every way that fits.",
        MarkAssumption.UsWeek =>
            "The week is counted by the United States tyre rule; the UN rules do not define week 1.",
        MarkAssumption.IsoWeek => "The week is counted by ISO 8601; makers differ by up to seven days.",
        MarkAssumption.DecadeOpen => "The decade is not in the mark.",
        MarkAssumption.FourFiguresEarly =>
            "Four figures on a tyre this old are unusual: three were the rule until July 2000.",
        MarkAssumption.TriangleNineties =>
            "A triangle after the figures is taken for the 1990s; that is trade practice, not a rule.",
        MarkAssumption.WeekOnly =>
            "The first figure is a day whose numbering is not defined, so only the week is claimed.",
        MarkAssumption.SkipI => "The month letter is counted without I.",
        MarkAssumption.AToL => "The month letter is counted straight from A to L.",
        MarkAssumption.SuffixIgnored => "The last character is taken for a shift or line and left out of the date.",
        MarkAssumption.ClockMargin => "Moulders turn the insert late: take it as give or take one month.",
        MarkAssumption.DotsAreMonths =>
            "One dot is one month, the current one included; some makers start without a dot.",
        MarkAssumption.PunchIsMade =>
            "The punch is taken for the month of manufacture; newer labels punch the end of validity instead.",
        MarkAssumption.WordsMissing => "The words that make it an expiry were not given.",
        MarkAssumption.NotUsualHere => "No form usual on this kind of part fits; every convention was tried.",
        MarkAssumption.OtherSeparators => "The separators are not the standard's own.",
        MarkAssumption.DateGroupSplit => "Without gaps it is not clear where the date group starts.",
        MarkAssumption.KindByWords =>
            "The words on the part decide between manufacture and expiry, against the role given.",
        MarkAssumption.KindByConvention =>
            "This convention decides between manufacture and expiry, against the role given.",
        MarkAssumption.TriangleInText => "The sign after the figures is taken for the tyre triangle.",
        MarkAssumption.RomanMonth => "The Roman numeral is taken for a month.",
        MarkAssumption.DateGroupOnly => "Only the date group of the tyre number was given.",
        MarkAssumption.OwnWeek => "The week is counted as the club's convention says.",
        MarkAssumption.PerhapsBore =>
            "Among the other signs of a hose this pair can be its bore in inches; make sure that it is the date.",
        MarkAssumption.InLegend =>
            "It stands among other signs; make sure that it is the date and no size or part number.",
        MarkAssumption.PlainDate =>
            "It is no form usual on this kind of part; it is read as the plain date that it says.",
        _ => "",
    };
}
