using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>
/// A moulded clock is turned late, so its month is give or take one: common practice, no standard found. The reading
/// keeps the month that the mark says; the age counts from one month earlier.
/// </summary>
public sealed class MarkMarginTests
{
    /// <summary>By hand: July 1994 give or take one month is 1 June to 31 August; + 72 months.</summary>
    [Theory]
    [InlineData("mould-clock")]
    [InlineData(null)]
    public void A_moulded_clock_counts_from_a_month_earlier(string? convention)
    {
        var answer = Ask(BrakeHose, Part(Clock("YY=94;pointer=7", convention)), "2000-06-01");

        var reading = Assert.Single(answer.Born.Readings);
        Assert.Equal(
            (DateSpan.Month(1994, 7), Span("1994-06-01", "1994-08-31")), (reading.Days, answer.Born.Span!.Value));
        Assert.Equal(
            (DueState.Overdue, Certainty.Possible, Span("2000-06-01", "2000-08-31")),
            (answer.State, answer.Certainty, answer.Due!.Value));
        Assert.Contains(
            "The mark \"YY=94;pointer=7\" says it was made 1994-07-01 to 1994-07-31 (mould-clock), give or take 1 "
                + "month (common practice, no source); it counts from 1994-06-01.",
            answer.Reasons);
    }

    /// <summary>By hand: February 1988 give or take one month runs from 1 January to the end of March.</summary>
    [Fact]
    public void The_margin_keeps_whole_months() =>
        Assert.Equal(
            Span("1988-01-01", "1988-03-31"),
            Ask(BrakeHose, Part(Clock("YY=88;dots=2", "mould-clock")), "2000-01-01").Born.Span);

    /// <summary>By hand: of July 1994 give or take one month and the first day of June 1994 the earliest is 1 June
    /// either way.</summary>
    [Fact]
    public void Beside_another_mark_the_earliest_counts()
    {
        var answer = Ask(
            BrakeHose, Part(Clock("YY=94;pointer=7", "mould-clock"), Mark(DateSpan.Month(1994, 7))), "2000-01-01");

        Assert.Equal(Span("1994-06-01", "1994-08-31"), answer.Born.Span);
    }

    /// <summary>By hand: good through July 1994, but a month may be missing: reached on 1 July at the earliest, on 1
    /// August at the latest.</summary>
    [Fact]
    public void An_expiry_with_a_margin_ends_earlier()
    {
        var printed = new Evidence
        {
            Kind = EvidenceKind.Mark,
            Readings = [new(DateSpan.Month(1994, 7), IsExpiry: true, MarginMonths: 1)]
        };

        var limit = Assert.Single(Ask(Kind(), Part(printed), "1990-01-01").Limits);

        Assert.Equal(
            (Day("1994-07-31"), Span("1994-07-01", "1994-08-01")), (limit.Limit.LastDay!.Value, limit.Due!.Value));
    }

    private static Evidence Clock(string text, string? convention) =>
        new Evidence { Kind = EvidenceKind.Mark, Text = text }.Read(
            MarkReader.Read(MarkEvidence.Question(
                text, convention, Day("2020-01-01"), null, Car(), original: false, knownOn: null)),
            convention);
}
