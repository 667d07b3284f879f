namespace AgeWatch.Core.Due;

/// <summary>When a distance, or a number of running hours, is reached.</summary>
/// <param name="Due">Null: no basis, or never.</param>
/// <param name="IsNever">At the present rate it is never reached.</param>
/// <param name="ReachedAt">What the odometer or hours meter counts then; null when it cannot be told.</param>
/// <param name="Left">What was left at the last reading; null without a reading.</param>
internal readonly record struct DistanceReach(
    DateSpan? Due, DateOnly? Likely, bool IsNever, decimal? ReachedAt, MovingAmount? Left = null)
{
    /// <summary>Both are possible: the earlier early day, the later late day.</summary>
    public DistanceReach OrWorse(DistanceReach other)
    {
        var left = MovingAmount.Hull(Left, other.Left);
        if (Due is not { } mine || other.Due is not { } theirs)
        {
            var told = Due is null ? other : this;
            return told.Due is { } due
                ? told with { Due = new(due.First, DateOnly.MaxValue), ReachedAt = null, Left = left }
                : new(null, null, IsNever && other.IsNever, null, left);
        }

        return new(
            new(
                mine.First < theirs.First ? mine.First : theirs.First,
                mine.Last > theirs.Last ? mine.Last : theirs.Last),
            Likely < other.Likely || other.Likely is null ? Likely : other.Likely,
            false,
            ReachedAt == other.ReachedAt ? ReachedAt : null,
            left);
    }
}

/// <summary>An amount of distance or running hours, as far as it can be told, and the day of the last reading it rests
/// on.</summary>
/// <param name="Least">Kilometres or hours; below zero when a limit is passed by so much.</param>
/// <param name="Most">The same at the other end of the doubt.</param>
/// <param name="CountedOn">Day of the reading; what was driven after it is not in the amount.</param>
public readonly record struct MovingAmount(decimal Least, decimal Most, DateOnly CountedOn)
{
    internal static MovingAmount? Hull(MovingAmount? a, MovingAmount? b) =>
        a is not { } mine || b is not { } theirs
            ? a ?? b
            : new(
                Math.Min(mine.Least, theirs.Least),
                Math.Max(mine.Most, theirs.Most),
                mine.CountedOn < theirs.CountedOn ? mine.CountedOn : theirs.CountedOn);
}
