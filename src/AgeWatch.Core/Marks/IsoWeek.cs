namespace AgeWatch.Core.Marks;

/// <summary>Weeks of ISO 8601: Monday to Sunday, week 01 the one that holds 4 January.</summary>
/// <remarks>Source: ISO 8601-1:2019, from memory; the rule is restated in NodaTime's WeekYearRules.Iso.</remarks>
public static class IsoWeek
{
    /// <summary>The Monday that opens week 01: between 29 December and 4 January.</summary>
    /// <param name="year">2 to 9999.</param>
    public static DateOnly FirstDay(int year)
    {
        var fourth = new DateOnly(year, 1, 4);
        return fourth.AddDays(1 - Weekday(fourth));
    }

    /// <summary>52 or 53.</summary>
    /// <param name="year">2 to 9998.</param>
    public static int WeeksIn(int year) => (FirstDay(year + 1).DayNumber - FirstDay(year).DayNumber) / 7;

    /// <summary>The seven days of a week, or null when the year has no such week.</summary>
    /// <param name="year">2 to 9998; other years have no weeks here.</param>
    public static DateSpan? Span(int year, int week)
    {
        if (year is < 2 or > 9998 || week < 1 || week > WeeksIn(year))
        {
            return null;
        }

        var monday = FirstDay(year).AddDays(7 * (week - 1));
        return new DateSpan(monday, monday.AddDays(6));
    }

    /// <summary>Week-year and week of a day.</summary>
    public static (int Year, int Week) Of(DateOnly day)
    {
        var thursday = day.AddDays(4 - Weekday(day));
        return (thursday.Year, (thursday.DayOfYear - 1) / 7 + 1);
    }

    /// <summary>1 is Monday, 7 is Sunday.</summary>
    public static int Weekday(DateOnly day) => ((int)day.DayOfWeek + 6) % 7 + 1;
}
