namespace AgeWatch.Core.Usage;

/// <summary>A clock that runs only while the vehicle can move: it replaces the calendar in every rate.</summary>
/// <remarks>
/// Without a season it counts days; with one it counts season-years, S(t) = year + in-season days elapsed before t /
/// in-season days of the year. Days of standing do not advance it.
/// </remarks>
internal sealed class UseClock
{
    private readonly Season? _season;
    private readonly (DateOnly From, DateOnly Before)[] _standing;

    public UseClock(Season? season, IReadOnlyList<StandingPeriod> standing, DateOnly? knownOn)
    {
        _season = season;
        _standing = Merge(standing, knownOn);
    }

    public bool IsSeasonal => _season is not null;

    /// <summary>Clock units in an ordinary year.</summary>
    public double PerYear => IsSeasonal ? 1 : DaysPerYear;

    /// <summary>Mean days of a Julian year; turns a yearly figure into a daily one.</summary>
    public const double DaysPerYear = 365.25;

    /// <summary>Clock at the start of <paramref name="day"/>.</summary>
    public double At(DateOnly day)
    {
        var at = Running(day);
        foreach (var (from, before) in _standing)
        {
            if (from >= day)
            {
                break;
            }

            at -= Running(before < day ? before : day) - Running(from);
        }

        return at;
    }

    /// <summary>The day during which the clock passes <paramref name="target"/>; null: never within the
    /// calendar.</summary>
    public DateOnly? DayDuring(double target)
    {
        if (FirstAtOrAfter(target) is not { } first)
        {
            return null;
        }

        var exact = At(first) <= target + Slack(target);
        return exact || first == DateOnly.MinValue ? first : first.AddDays(-1);
    }

    /// <summary>The first day at whose start the clock has reached <paramref name="target"/>; null: never.</summary>
    public DateOnly? FirstAtOrAfter(double target)
    {
        target -= Slack(target);
        var low = 0;
        var high = DateOnly.MaxValue.DayNumber;
        if (At(DateOnly.MaxValue) < target)
        {
            return null;
        }

        while (low < high)
        {
            var middle = low + (high - low) / 2;
            if (At(DateOnly.FromDayNumber(middle)) >= target)
            {
                high = middle;
            }
            else
            {
                low = middle + 1;
            }
        }

        return DateOnly.FromDayNumber(low);
    }

    // A double holds day numbers to 1e-10; a hundredth of a second of driving decides nothing.
    private static double Slack(double target) => 1e-12 * Math.Max(1, Math.Abs(target));

    private double Running(DateOnly day)
    {
        if (_season is null)
        {
            return day.DayNumber;
        }

        var inYear = InSeason(day.Year, 365 + (DateTime.IsLeapYear(day.Year) ? 1 : 0));
        return day.Year + (double)InSeason(day.Year, day.DayOfYear - 1) / inYear;
    }

    /// <summary>In-season days among the first <paramref name="days"/> days of the year.</summary>
    private int InSeason(int year, int days)
    {
        var from = DayOfYear(year, _season!.From);
        var to = DayOfYear(year, _season.To);
        return from <= to
            ? Math.Clamp(days - from + 1, 0, to - from + 1)
            : Math.Min(days, to) + Math.Max(0, days - from + 1);
    }

    private static int DayOfYear(int year, MonthDay day) =>
        new DateOnly(year, day.Month, Math.Min(day.Day, DateTime.DaysInMonth(year, day.Month))).DayOfYear;

    private static (DateOnly From, DateOnly Before)[] Merge(IReadOnlyList<StandingPeriod> standing, DateOnly? knownOn)
    {
        if (standing.Count == 0)
        {
            return [];
        }

        List<(DateOnly From, DateOnly Before)> merged = [];
        foreach (var (from, until) in standing.OrderBy(period => period.From))
        {
            // A vehicle that still stands may move tomorrow: nothing is promised beyond the day that is known.
            var before = until is { } last ? last.PlusDaysClamped(1) : knownOn ?? DateOnly.MaxValue;
            if (before <= from)
            {
                continue;
            }

            if (merged.Count > 0 && from <= merged[^1].Before)
            {
                merged[^1] = (merged[^1].From, before > merged[^1].Before ? before : merged[^1].Before);
            }
            else
            {
                merged.Add((from, before));
            }
        }

        return [.. merged];
    }
}
