namespace AgeWatch.Core;

/// <summary>A run of whole days, both ends included: all that a mark or a memory says about one day.</summary>
/// <remarks>The default value is the single day 0001-01-01, which is a legal span.</remarks>
public readonly record struct DateSpan : IComparable<DateSpan>
{
    /// <exception cref="ArgumentException"><paramref name="last"/> is before <paramref name="first"/>.</exception>
    public DateSpan(DateOnly first, DateOnly last)
    {
        if (last < first)
        {
            throw new ArgumentException($"A span cannot end ({last:O}) before it starts ({first:O}).", nameof(last));
        }

        First = first;
        Last = last;
    }

    /// <summary>The earliest day it can be; it is the one that counts.</summary>
    public DateOnly First { get; }

    /// <summary>The latest day it can be, included.</summary>
    public DateOnly Last { get; }

    public bool IsOneDay => First == Last;

    public static DateSpan Day(DateOnly day) => new(day, day);

    /// <param name="year">1 to 9999.</param>
    /// <param name="month">1 to 12.</param>
    public static DateSpan Month(int year, int month) =>
        new(new(year, month, 1), new(year, month, DateTime.DaysInMonth(year, month)));

    /// <param name="year">1 to 9999.</param>
    /// <param name="quarter">1 to 4; 1 is January to March.</param>
    public static DateSpan Quarter(int year, int quarter) =>
        new(new(year, 3 * quarter - 2, 1), new(year, 3 * quarter, DateTime.DaysInMonth(year, 3 * quarter)));

    public static DateSpan Year(int year) => new(new(year, 1, 1), new(year, 12, 31));

    public bool Contains(DateOnly day) => First <= day && day <= Last;

    /// <summary>The smallest span that holds both.</summary>
    public DateSpan HullWith(DateSpan other) =>
        new(First < other.First ? First : other.First, Last > other.Last ? Last : other.Last);

    /// <summary>When both of two events have come: the later first day to the later last day.</summary>
    public DateSpan LaterOf(DateSpan other) =>
        new(First > other.First ? First : other.First, Last > other.Last ? Last : other.Last);

    /// <summary>Adds months to both ends, each clamped to its month's last day (31 January + 1 month = 28 or 29
    /// February).</summary>
    /// <remarks>Always add the whole number of months to the anchor once; adding in two steps can differ.
    /// Ends that would pass the year 9999 stay at 9999-12-31.</remarks>
    /// <param name="months">Zero or more.</param>
    public DateSpan PlusMonths(int months) => new(First.PlusMonthsClamped(months), Last.PlusMonthsClamped(months));

    /// <summary>Orders by the first day, then the last.</summary>
    public int CompareTo(DateSpan other) =>
        First != other.First ? First.CompareTo(other.First) : Last.CompareTo(other.Last);

    public static bool operator <(DateSpan a, DateSpan b) => a.CompareTo(b) < 0;

    public static bool operator >(DateSpan a, DateSpan b) => a.CompareTo(b) > 0;

    public static bool operator <=(DateSpan a, DateSpan b) => a.CompareTo(b) <= 0;

    public static bool operator >=(DateSpan a, DateSpan b) => a.CompareTo(b) >= 0;

    public override string ToString() => IsOneDay ? $"{First:yyyy-MM-dd}" : $"{First:yyyy-MM-dd}..{Last:yyyy-MM-dd}";
}

/// <summary>Day arithmetic that never throws at the ends of the calendar.</summary>
public static class DateOnlyExtensions
{
    /// <summary>Months added, clamped to the month's end and to 9999-12-31.</summary>
    public static DateOnly PlusMonthsClamped(this DateOnly day, int months)
    {
        var index = day.Year * 12L + day.Month - 1 + months;
        return index > 9999 * 12L + 11 ? DateOnly.MaxValue
            : index < 12 ? DateOnly.MinValue
            : day.AddMonths(months);
    }

    /// <summary>Days added, held at the ends of the calendar.</summary>
    public static DateOnly PlusDaysClamped(this DateOnly day, long days)
    {
        var number = day.DayNumber + days;
        return number >= DateOnly.MaxValue.DayNumber ? DateOnly.MaxValue
            : number <= 0 ? DateOnly.MinValue
            : DateOnly.FromDayNumber((int)number);
    }

    /// <summary>
    /// Whole months from <paramref name="from"/> to <paramref name="to"/>: the greatest k with from + k months &lt;=
    /// to. Zero when <paramref name="to"/> is earlier.
    /// </summary>
    public static int WholeMonthsUntil(this DateOnly from, DateOnly to)
    {
        var months = (to.Year - from.Year) * 12 + to.Month - from.Month;
        if (months > 0 && from.PlusMonthsClamped(months) > to)
        {
            months--;
        }

        return Math.Max(months, 0);
    }
}
