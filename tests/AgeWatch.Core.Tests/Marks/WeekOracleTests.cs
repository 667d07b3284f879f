using System.Globalization;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>The calendar of the marks against the calendars of the base library, which know nothing of ours.</summary>
public sealed class WeekOracleTests
{
    private static readonly DateOnly Late = new(2099, 12, 31);

    /// <summary>Oracle: GregorianCalendar, FirstFullWeek from Sunday, which is the rule of 49 CFR 574.5(b)(3) on every
    /// day 1971-2035.</summary>
    [Fact]
    public void Every_tyre_week_1971_to_2035_agrees_with_GregorianCalendar()
    {
        var calendar = new GregorianCalendar();
        for (var day = new DateOnly(1971, 1, 3); day <= new DateOnly(2035, 12, 31); day = day.AddDays(1))
        {
            var week = calendar.GetWeekOfYear(
                day.ToDateTime(default), CalendarWeekRule.FirstFullWeek, DayOfWeek.Sunday);
            var year = week > 50 && day.Month == 1 ? day.Year - 1 : day.Year;

            Assert.Equal((year, week), TinWeek.Of(day));
            Assert.True(TinWeek.Span(year, week)!.Value.Contains(day));
        }
    }

    /// <summary>
    /// The same through the reader: the mark WWYY of every week from the start of Part 574 reads back to the Sunday and
    /// Saturday found by walking the calendar, and week 53 only where the walk has one.
    /// </summary>
    [Fact]
    public void Every_tyre_mark_1971_to_2035_reads_as_its_week()
    {
        var calendar = new GregorianCalendar();
        for (var sunday = new DateOnly(1971, 5, 23); sunday.Year <= 2035; sunday = sunday.AddDays(7))
        {
            var week = calendar.GetWeekOfYear(
                sunday.ToDateTime(default), CalendarWeekRule.FirstFullWeek, DayOfWeek.Sunday);
            var mark = $"{week:00}{sunday.Year % 100:00}";
            var answer = MarkReader.Read(new(mark) { Convention = "tin-wwyy", NotBefore = sunday, NotAfter = sunday });

            Assert.Equal(new DateSpan(sunday, sunday.AddDays(6)), Assert.Single(answer.Readings).Span);
        }

        foreach (var year in Enumerable.Range(1972, 64))
        {
            var sundays = Enumerable.Range(0, DateTime.IsLeapYear(year) ? 366 : 365)
                .Count(d => new DateOnly(year, 1, 1).AddDays(d).DayOfWeek == DayOfWeek.Sunday);
            Assert.Equal(sundays, TinWeek.WeeksIn(year));
            Assert.Null(TinWeek.Span(year, sundays + 1));
        }
    }

    /// <summary>Oracle: System.Globalization.ISOWeek, with its own count of weeks because it accepts week 53 of any
    /// year.</summary>
    [Fact]
    public void Every_iso_week_1970_to_2035_agrees_with_ISOWeek()
    {
        for (var year = 1970; year <= 2035; year++)
        {
            Assert.Equal(ISOWeek.GetWeeksInYear(year), IsoWeek.WeeksIn(year));
            for (var week = 1; week <= 53; week++)
            {
                var answer = MarkReader.Read(new($"{year}-W{week:00}") { Convention = "iso-week", Observed = Late });
                if (week > ISOWeek.GetWeeksInYear(year))
                {
                    Assert.Equal(DropCode.WeekOutOfRange, Assert.Single(answer.Dropped).Code);
                    continue;
                }

                var monday = DateOnly.FromDateTime(ISOWeek.ToDateTime(year, week, DayOfWeek.Monday));
                Assert.Equal(new DateSpan(monday, monday.AddDays(6)), Assert.Single(answer.Readings).Span);
                for (var weekday = 1; weekday <= 7; weekday++)
                {
                    var day = MarkReader.Read(
                        new($"{year}W{week:00}{weekday}") { Convention = "iso-week", Observed = Late });
                    Assert.Equal(DateSpan.Day(monday.AddDays(weekday - 1)), Assert.Single(day.Readings).Span);
                    Assert.Equal((year, week), IsoWeek.Of(monday.AddDays(weekday - 1)));
                }
            }
        }
    }

    /// <summary>Oracle: DateOnly.DayOfYear. Every ordinal day, also in the three stamped forms.</summary>
    [Fact]
    public void Every_ordinal_day_1970_to_2035_agrees_with_DateOnly()
    {
        for (var day = new DateOnly(1970, 1, 1); day <= new DateOnly(2035, 12, 31); day = day.AddDays(1))
        {
            (string Convention, string Mark)[] forms =
            [
                ("iso-ordinal", $"{day.Year}-{day.DayOfYear:000}"),
                ("julian-yyddd", $"{day.Year % 100:00}{day.DayOfYear:000}"),
                ("julian-dddyy", $"{day.DayOfYear:000}{day.Year % 100:00}"),
                ("julian-yddd", $"{day.Year % 10}{day.DayOfYear:000}"),
            ];
            foreach (var (convention, mark) in forms)
            {
                var answer = MarkReader.Read(new(mark) { Convention = convention, NotBefore = day, NotAfter = day });
                Assert.Equal(DateSpan.Day(day), Assert.Single(answer.Readings).Span);
            }
        }

        foreach (var year in Enumerable.Range(1970, 66))
        {
            var answer = MarkReader.Read(new($"{year}366") { Convention = "iso-ordinal", Observed = Late });
            Assert.Equal(DateTime.IsLeapYear(year) ? MarkOutcome.One : MarkOutcome.None, answer.Outcome);
        }
    }

    /// <summary>Every day in every calendar form, by DateOnly alone.</summary>
    [Fact]
    public void Every_calendar_day_1970_to_2035_reads_back_in_each_order()
    {
        for (var day = new DateOnly(1970, 1, 1); day <= new DateOnly(2035, 12, 31); day = day.AddDays(1))
        {
            (string Convention, string Mark)[] forms =
            [
                ("iso-calendar", $"{day:yyyy-MM-dd}"),
                ("dmy", $"{day:dd.MM.yy}"),
                ("mdy", $"{day:MMddyy}"),
                ("ymd", $"{day:yy/MM/dd}"),
                ("dmy", $"{day:d MMM yyyy}"),
            ];
            foreach (var (convention, mark) in forms)
            {
                var answer = MarkReader.Read(new(mark) { Convention = convention, NotBefore = day, NotAfter = day });
                Assert.Equal(DateSpan.Day(day), Assert.Single(answer.Readings).Span);
            }
        }
    }
}
