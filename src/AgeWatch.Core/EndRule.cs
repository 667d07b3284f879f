namespace AgeWatch.Core;

/// <summary>Which day ends a limit that is counted in months.</summary>
public enum EndRule
{
    /// <summary>Reached on the anchor's day plus the months.</summary>
    Day,

    /// <summary>Good to the end of the month in which that day falls; reached on the first of the next month.</summary>
    MonthEnd,

    /// <summary>Good to 31 December of the year in which that day falls; reached on the following 1 January.</summary>
    YearEnd,
}
