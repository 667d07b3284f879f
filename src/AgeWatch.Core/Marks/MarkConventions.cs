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
        new TinDayWeekYear(),
        new TinFull(),
        new TyreRomanQuarter(),
        new IsoCalendar(),
        new IsoOrdinal(),
        new IsoWeekDate(),
        new Rfc3339Instant(),
        new DayMonthYear(),
        new MonthDayYear(),
        new YearMonthDay(),
        new MonthYear(),
        new WeekYearIso(),
        new QuarterYear(),
        new CureQuarter(),
        new EiaYearWeek(),
        new WeekYearFigures(),
        new YearMonthFigures(),
        new MonthYearFigures(),
        new PlainYear(),
        new JulianYearDigitDay(),
        new JulianYearDay(),
        new JulianDayYear(),
        new IecTwoCharacters(),
        new IecFourCharacters(),
        new BatteryLetterDigit(),
        new CastingLetterDayYear(),
        new CastingYearLetterDay(),
        new MouldClock(),
        new BrakeHoseLegend(),
        new BeltYear(),
        new HelmetMonth(),
        new GasCylinderExpiry(),
        new GasCylinderMade(),
        new SfiPunch(),
        new FiaNotValidAfter(),
    ];

    private static readonly FrozenDictionary<string, MarkConvention> ByKey = All.ToFrozenDictionary(c =>
        c.Key, StringComparer.Ordinal);

    /// <summary>Null when there is none of this key. Keys are case-sensitive.</summary>
    public static MarkConvention? Find(string key) => ByKey.GetValueOrDefault(key);
}
