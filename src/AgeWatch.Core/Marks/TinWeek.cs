namespace AgeWatch.Core.Marks;

/// <summary>Weeks as tyre makers count them: Sunday to Saturday, week 01 the first full calendar week of the
/// year.</summary>
/// <remarks>
/// Source: 49 CFR 574.5(b)(3), read as a quotation of the section; its example is 0109 = 4 to 10 January 2009.
/// The last week may run up to six days into the next year. The 53-week years are never those of ISO 8601.
/// </remarks>
public static class TinWeek
{
    /// <summary>The Sunday that opens week 01: between 1 and 7 January.</summary>
    /// <param name="year">1 to 9999.</param>
    public static DateOnly FirstDay(int year)
    {
        var newYear = new DateOnly(year, 1, 1);
        return newYear.AddDays((7 - (int)newYear.DayOfWeek) % 7);
    }

    /// <summary>52 or 53.</summary>
    /// <param name="year">1 to 9998.</param>
    public static int WeeksIn(int year) => (FirstDay(year + 1).DayNumber - FirstDay(year).DayNumber) / 7;

    /// <summary>The seven days of a week, or null when the year has no such week.</summary>
    /// <param name="year">1 to 9998; other years have no weeks here.</param>
    public static DateSpan? Span(int year, int week)
    {
        if (year is < 1 or > 9998 || week < 1 || week > WeeksIn(year))
        {
            return null;
        }

        var sunday = FirstDay(year).AddDays(7 * (week - 1));
        return new DateSpan(sunday, sunday.AddDays(6));
    }

    /// <summary>Year and week of a day; days before the first Sunday belong to the last week of the year
    /// before.</summary>
    public static (int Year, int Week) Of(DateOnly day)
    {
        var year = day < FirstDay(day.Year) ? day.Year - 1 : day.Year;
        return (year, (day.DayNumber - FirstDay(year).DayNumber) / 7 + 1);
    }
}
