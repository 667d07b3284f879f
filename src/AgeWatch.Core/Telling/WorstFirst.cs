using AgeWatch.Core.Due;

namespace AgeWatch.Core.Telling;

/// <summary>All that decides the place of a part or task in a list.</summary>
/// <param name="Force">Null: no limit stands behind the state; it stands with the recommended.</param>
/// <param name="Due">The earliest due day; null: none can be told.</param>
public readonly record struct WorstKey(
    HazardClass Hazard, DueState State, Force? Force, Certainty Certainty, DateOnly? Due, Guid SubjectId)
{
    // Widths in bits, from the lowest: day 24, certainty 1, force 1, kept free 7, state 8, hazard 8.
    private const int CertaintyAt = 24;
    private const int ForceAt = 25;
    private const int StateAt = 33;
    private const int HazardAt = 41;

    public static WorstKey Of(DueAnswer answer, Guid subjectId) =>
        new(answer.Hazard, answer.State, answer.Force, answer.Certainty, answer.Due?.First, subjectId);

    /// <summary>
    /// The order as one number, smallest first, which both databases sort alike; equal ranks go by subject id.
    /// Without a day it stands before every day of its group: nothing says that it is not due already.
    /// </summary>
    public long Rank =>
        ((long)Hazard << HazardAt)
        | ((long)State << StateAt)
        | (Force == AgeWatch.Core.Due.Force.Mandatory ? 0L : 1L << ForceAt)
        | (Certainty == Certainty.Certain ? 0L : 1L << CertaintyAt)
        | (Due is { } day ? day.DayNumber + 1L : 0L);
}

/// <summary>
/// The one order of whatever is shown: hazard, then state, then the mandatory before the recommended, then the certain
/// before the possible, then the earliest due day, then the subject's id so that no two places are equal. Days overdue
/// alone decide nothing.
/// </summary>
public sealed class WorstFirst : IComparer<WorstKey>
{
    public static readonly WorstFirst Order = new();

    private WorstFirst()
    {
    }

    public int Compare(WorstKey x, WorstKey y)
    {
        var byRank = x.Rank.CompareTo(y.Rank);
        return byRank != 0 ? byRank : x.SubjectId.CompareTo(y.SubjectId);
    }
}
