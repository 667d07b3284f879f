namespace AgeWatch.Core.Marks;

/// <summary>Four figures in two pairs, the form that the most conventions share.</summary>
internal static class FourFigures
{
    /// <summary>
    /// The figures as one number, or -1. Signs other than a blank between the pairs are read only when the convention
    /// was named or is met on the part: on the part itself there are none.
    /// </summary>
    public static int Of(in MarkText text, ReadingCollector collector) =>
        text.Separated && !collector.OnThisPart ? -1 : text.Figures(4, firstGroup: 2);
}
