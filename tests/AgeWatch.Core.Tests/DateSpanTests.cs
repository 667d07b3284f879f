using NodaTime;

namespace AgeWatch.Core.Tests;

public sealed class DateSpanTests
{
    /// <summary>
    /// NodaTime's own tests: PeriodTest.Addition_OneYearOnLeapDay, Addition_FourYearsOnLeapDay and
    /// LocalDateTest.PeriodArithmetic.Addition_TruncatesOnShortMonth (commit 67f78857); the last three rows by hand.
    /// </summary>
    [Theory]
    [InlineData("2012-02-29", 12, "2013-02-28")]
    [InlineData("2012-02-29", 48, "2016-02-29")]
    [InlineData("2010-01-30", 1, "2010-02-28")]
    [InlineData("2023-01-31", 2, "2023-03-31")]
    [InlineData("2012-02-29", 13, "2013-03-29")]
    [InlineData("2008-08-31", 6, "2009-02-28")]
    public void Months_are_added_from_the_anchor_and_clamped_to_the_month_end(
        string from, int months, string expected) =>
        Assert.Equal(Day(expected), Day(from).PlusMonthsClamped(months));

    /// <summary>NodaTime PeriodTest.BetweenLocalDates_OnLeapYear and BetweenLocalDates_EndOfMonth; the rest by
    /// hand.</summary>
    [Theory]
    [InlineData("2012-02-29", "2013-02-28", 12)]
    [InlineData("2012-02-29", "2013-02-27", 11)]
    [InlineData("2013-03-31", "2013-04-30", 1)]
    [InlineData("2000-01-31", "2024-02-29", 289)]
    [InlineData("1999-12-31", "2000-02-28", 1)]
    [InlineData("1999-12-31", "2000-02-29", 2)]
    public void Whole_months_count_a_clamped_month_end_as_reached(string from, string to, int expected) =>
        Assert.Equal(expected, Day(from).WholeMonthsUntil(Day(to)));

    /// <summary>NodaTime as independent oracle, 120,000 random pairs with a fixed seed.</summary>
    [Fact]
    public void Month_arithmetic_agrees_with_NodaTime()
    {
        var random = new Random(20261125);
        for (var i = 0; i < 120_000; i++)
        {
            var from = DateOnly.FromDayNumber(random.Next(new DateOnly(1900, 1, 1)
                .DayNumber, new DateOnly(2100, 1, 1)
                .DayNumber));
            var to = DateOnly.FromDayNumber(from.DayNumber + random.Next(0, 40_000));
            var months = random.Next(0, 600);
            var local = new LocalDate(from.Year, from.Month, from.Day);

            Assert.Equal(local.PlusMonths(months).ToDateOnly(), from.PlusMonthsClamped(months));
            Assert.Equal(
                Period.Between(local, new LocalDate(to.Year, to.Month, to.Day), PeriodUnits.Months).Months,
                from.WholeMonthsUntil(to));
        }
    }

    [Fact]
    public void The_end_of_the_calendar_is_held_not_passed()
    {
        Assert.Equal(DateOnly.MaxValue, DateOnly.MaxValue.PlusMonthsClamped(1));
        Assert.Equal(DateOnly.MaxValue, new DateOnly(9999, 12, 30).PlusDaysClamped(5));
        Assert.Equal(DateOnly.MinValue, new DateOnly(1, 1, 15).PlusMonthsClamped(-1));
    }

    [Fact]
    public void The_default_span_is_harmless() => Assert.True(default(DateSpan).IsOneDay);

    [Fact]
    public void A_span_that_ends_before_it_starts_is_refused() =>
        Assert.Throws<ArgumentException>(() => new DateSpan(new(2020, 1, 2), new(2020, 1, 1)));

    private static DateOnly Day(string text) => DateOnly.ParseExact(text, "yyyy-MM-dd");
}
