namespace AgeWatch.Core.Due;

/// <summary>The due answer: a pure function of the facts and the day.</summary>
/// <remarks>
/// The due days of every limit follow from the facts alone; the day asked is only compared with them. So a later day
/// never improves a state, and the next change is exact.
/// </remarks>
public static class DueAssessment
{
    /// <exception cref="ArgumentException">A limit has no number, or a number that is not positive.</exception>
    public static DueAnswer Assess(DueQuestion question)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(question.WarningDays);
        return new Assessment(question).Answer();
    }
}
