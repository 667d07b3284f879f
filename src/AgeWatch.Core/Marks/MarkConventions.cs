using System.Collections.Frozen;
using AgeWatch.Core.Marks.Conventions;

namespace AgeWatch.Core.Marks;

/// <summary>Every built-in convention, in the order in which readings name them.</summary>
public static class MarkConventions
{
    public static IReadOnlyList<MarkConvention> All { get; } =
    [
        new TinWeekYear(),
        new TinWeekYearDigit(),
        new BrakeHoseLegend(),
        new QuarterYear(),
        new IsoCalendar(),
        new DayMonthYear(),
        new MonthDayYear(),
        new MonthYear(),
        new WeekYearIso(),
        new EiaYearWeek(),
        new WeekYearFigures(),
        new YearMonthFigures(),
        new MonthYearFigures(),
        new PlainYear(),
    ];

    private static readonly FrozenDictionary<string, MarkConvention> ByKey = All.ToFrozenDictionary(c => c.Key, StringComparer.Ordinal);

    /// <summary>Null when there is none of this key. Keys are case-sensitive.</summary>
    public static MarkConvention? Find(string key) => ByKey.GetValueOrDefault(key);
}
