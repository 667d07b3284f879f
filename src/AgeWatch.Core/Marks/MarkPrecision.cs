using System.Globalization;

namespace AgeWatch.Core.Marks;

/// <summary>The piece of the calendar a reading names.</summary>
public enum MarkPrecision
{
    Day,

    /// <summary>A day given by its number in the year.</summary>
    Ordinal,

    /// <summary>A day given by its ISO week and weekday.</summary>
    IsoWeekDay,

    /// <summary>Monday to Sunday, week 01 holding 4 January.</summary>
    IsoWeek,

    /// <summary>Sunday to Saturday, week 01 being the first full week of the year.</summary>
    TinWeek,
    Month,
    Quarter,
    Year,
}

internal static class MarkPrecisionText
{
    /// <summary>The label and canonical form of the vector file, rule 7: <c>tin:2009-W01</c>,
    /// <c>month:1994-03</c>.</summary>
    public static string Canonical(this MarkPrecision precision, DateSpan span)
    {
        var first = span.First;
        return precision switch
        {
            MarkPrecision.Day => string.Create(CultureInfo.InvariantCulture, $"day:{first:yyyy-MM-dd}"),
            MarkPrecision.Ordinal =>
                string.Create(CultureInfo.InvariantCulture, $"ordinal:{first.Year:0000}-{first.DayOfYear:000}"),
            MarkPrecision.IsoWeekDay => string.Create(
                CultureInfo.InvariantCulture, $"iso:{Week(IsoWeek.Of(first))}-{IsoWeek.Weekday(first)}"),
            MarkPrecision.IsoWeek => $"iso:{Week(IsoWeek.Of(first))}",
            MarkPrecision.TinWeek => $"tin:{Week(TinWeek.Of(first))}",
            MarkPrecision.Month => string.Create(CultureInfo.InvariantCulture, $"month:{first:yyyy-MM}"),
            MarkPrecision.Quarter =>
                string.Create(CultureInfo.InvariantCulture, $"quarter:{first.Year:0000}-Q{(first.Month + 2) / 3}"),
            MarkPrecision.Year => string.Create(CultureInfo.InvariantCulture, $"year:{first.Year:0000}"),
        };
    }

    private static string Week((int Year, int Week) week) =>
        string.Create(CultureInfo.InvariantCulture, $"{week.Year:0000}-W{week.Week:00}");
}
