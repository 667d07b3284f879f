using System.Globalization;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>
/// A date that says what it is stays among the readings, on whatever kind of part it stands and however it is spelled.
/// What each text means is its plain English; weeks are those of ISO 8601 (.NET's ISOWeek).
/// </summary>
public sealed class PlainMarkTests
{
    private static readonly DateOnly Seen = new(2026, 6, 30);

    private static readonly PartKind[] Kinds =
        [.. PartCatalogue.BuiltIn.All.Where(kind => kind.Form == PartForm.Component)];

    public static TheoryData<string> MonthSpellings =>
    [
        "{0:MM}/{0:yyyy}", "{0:%M}/{0:yyyy}", "{0:MM}.{0:yyyy}", "{0:MM}-{0:yyyy}", "{0:MM} {0:yyyy}",
        "{0:MM} / {0:yyyy}", "{0:yyyy}-{0:MM}", "{0:yyyy}/{0:MM}", "{0:yyyy}.{0:MM}", "{0:MMM} {0:yyyy}",
        "{0:MMMM} {0:yyyy}", "{0:MMM}-{0:yyyy}", "{0:MMM}-{0:yy}", "{0:MMM}. {0:yyyy}", "{0:MMM} '{0:yy}",
        "{0:MMM} {0:yy}", "{0:MMM}{0:yy}", "{0:MMM}/{0:yyyy}", "{0:yyyy} {0:MMM}", "{0:MMMM}, {0:yyyy}",
        "{0:MMM} of {0:yyyy}", "made in {0:MMMM} {0:yyyy}", "MFD {0:MM}/{0:yy}", "Date: {0:MM}/{0:yyyy}",
        "{0:MM}/{0:yy}", "{0:MM}-{0:yy}", "{0:MM}.{0:yy}", "{0:%M}-{0:yy}", "DOT {0:MMM} {0:yyyy}",
        "DOT {0:MM}/{0:yyyy}", "DOT {0:MMMM} {0:yyyy}",
    ];

    [Theory]
    [MemberData(nameof(MonthSpellings))]
    public void A_plain_month_and_year_is_always_among_the_readings(string spelling)
    {
        foreach (var kind in Kinds)
        {
            for (var month = new DateOnly(1991, 1, 1); month.Year < 2026; month = month.AddMonths(7))
            {
                var text = string.Format(CultureInfo.InvariantCulture, spelling, month);
                Among(kind, text, DateSpan.Month(month.Year, month.Month));
            }
        }
    }

    [Theory]
    [InlineData("week {0} {1}")]
    [InlineData("Week {0}, {1}")]
    [InlineData("week {0} of {1}")]
    [InlineData("W{0:00} {1}")]
    [InlineData("wk {0}/{2:00}")]
    [InlineData("wk{0:00}-{1}")]
    [InlineData("KW {0}/{1}")]
    [InlineData("{0}. KW {1}")]
    [InlineData("CW{0:00}/{2:00}")]
    [InlineData("{0}th week {1}")]
    [InlineData("{0}th week of {1}")]
    [InlineData("{1}-W{0:00}")]
    [InlineData("{1}W{0:00}")]
    [InlineData("{1} week {0}")]
    [InlineData("{1}, {0} week")]
    [InlineData("{0:00}W{2:00}")]
    public void A_week_and_year_in_words_is_always_among_the_readings(string spelling)
    {
        foreach (var kind in Kinds)
        {
            for (var monday = new DateOnly(1994, 1, 3); monday.Year < 2026; monday = monday.AddDays(7 * 25))
            {
                var day = monday.ToDateTime(TimeOnly.MinValue);
                var (year, week) = (ISOWeek.GetYear(day), ISOWeek.GetWeekOfYear(day));
                var text = string.Format(CultureInfo.InvariantCulture, spelling, week, year, year % 100);
                Among(kind, text, new DateSpan(monday, monday.AddDays(6)));
            }
        }
    }

    [Theory]
    [InlineData("12 January 2014", "2014-01-12", "2014-01-12")]
    [InlineData("Jan 12, 2014", "2014-01-12", "2014-01-12")]
    [InlineData("2014-01-12", "2014-01-12", "2014-01-12")]
    [InlineData("12/01/2014", "2014-01-12", "2014-01-12")]
    [InlineData("12/01/2014", "2014-12-01", "2014-12-01")]
    [InlineData("2014", "2014-01-01", "2014-12-31")]
    [InlineData("made 2014", "2014-01-01", "2014-12-31")]
    [InlineData("Q2 2014", "2014-04-01", "2014-06-30")]
    [InlineData("2nd quarter 2014", "2014-04-01", "2014-06-30")]
    public void So_is_any_other_date_that_says_what_it_is(string text, string first, string last)
    {
        foreach (var kind in Kinds)
        {
            Among(kind, text, new(DateOnly.Parse(first, CultureInfo.InvariantCulture),
                DateOnly.Parse(last, CultureInfo.InvariantCulture)));
        }
    }

    /// <summary>2014 is the year and not week 20 of 2014, which a tyre number that ends in 2014 would be (49 CFR
    /// 574.5).</summary>
    [Theory]
    [InlineData("01/2014")]
    [InlineData("Jan 2014")]
    [InlineData("January 2014")]
    [InlineData("week 3 2014")]
    [InlineData("W03 2014")]
    [InlineData("12/01/2014")]
    [InlineData("12 Jan 2014")]
    [InlineData("made in Jan 2014")]
    [InlineData("DOT 01/2014")]
    [InlineData("DOT Jan 2014")]
    [InlineData("Ocak 2014")]
    [InlineData("ian 2014")]
    public void A_tyre_number_does_not_eat_a_year_in_four_figures(string text)
    {
        var week20 = TinWeek.Span(2014, 20)!.Value;
        var tyre = PartCatalogue.BuiltIn.Find("tyre-road")!;

        Assert.DoesNotContain(Read(tyre, text).Readings, reading => reading.Span == week20);
        Assert.DoesNotContain(
            MarkReader.Read(new(text) { Convention = "tin-full", Observed = Seen }).Readings,
            reading => reading.Span == week20);
    }

    /// <summary>On a tyre a number before the year is a week as well as a month: week 3 of 2014 is 19 to 25 January
    /// by 49 CFR 574.5, its first Sunday being the 5th.</summary>
    [Theory]
    [InlineData("03/2014")]
    [InlineData("3/14")]
    [InlineData("week 3 2014")]
    public void On_a_tyre_it_can_be_a_week_of_the_tyre_rule(string text) =>
        Assert.Contains(
            Read(PartCatalogue.BuiltIn.Find("tyre-road")!, text).Readings,
            reading => reading.Span == new DateSpan(new(2014, 1, 19), new(2014, 1, 25)));

    private static void Among(PartKind kind, string text, DateSpan expected)
    {
        var answer = Read(kind, text);
        Assert.True(
            answer.Readings.Any(reading => reading.Span == expected),
            $"{kind.Key} \"{text}\": {string.Join(", ", answer.Readings.Select(r => r.Canonical))}; {answer.Reason}");
    }

    private static MarkAnswer Read(PartKind kind, string text) => MarkReader.Read(
        new(text) { Likely = kind.Mark.Likely, Possible = kind.Mark.Possible, Observed = Seen });
}
