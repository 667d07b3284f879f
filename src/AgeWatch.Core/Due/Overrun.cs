namespace AgeWatch.Core.Due;

/// <summary>Work done late does not move the next due point (14 CFR 91.409(b): due at 100 hours, done at 106, next due
/// at 200).</summary>
public static class Overrun
{
    /// <summary>Where the next interval counts from, in hours, kilometres or any other unit that adds up.</summary>
    /// <param name="doneAt">Where it was done.</param>
    /// <param name="dueAt">Where it was due.</param>
    /// <param name="interval">More than zero. Late by a whole interval or more, there is nothing left to take it
    /// from.</param>
    public static decimal CountsFrom(decimal doneAt, decimal dueAt, decimal interval) =>
        doneAt > dueAt && doneAt - dueAt < interval ? dueAt : doneAt;

    /// <summary>The same by the calendar.</summary>
    /// <param name="months">The interval, more than zero.</param>
    public static DateOnly CountsFrom(DateOnly doneOn, DateOnly dueOn, int months) =>
        doneOn > dueOn && doneOn < dueOn.PlusMonthsClamped(months) ? dueOn : doneOn;
}
