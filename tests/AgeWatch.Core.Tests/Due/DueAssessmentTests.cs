using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>The due answer, case by case. Where no source is named the expectation is counted by hand from the rule in
/// the name.</summary>
public sealed class DueAssessmentTests
{
    /// <summary>49 CFR 571.106 S5.2.2: 10/1/96 is 1 October 1996. 120 months by hand: 1 October 2006.</summary>
    [Fact]
    public void A_brake_hose_of_1996_is_overdue_for_certain()
    {
        var part = new ComponentFacts
        {
            Evidence = [
                Mark(DateSpan.Day(Day("1996-10-01"))), On(EvidenceKind.Document, "2019-04-01"),
                On(EvidenceKind.Fitted, "2019-04-02")],
            OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Maker)],
        };

        var answer = Ask(BrakeHose, part, "2026-11-25");

        Assert.Equal(DueState.Overdue, answer.State);
        Assert.Equal(Certainty.Certain, answer.Certainty);
        Assert.Equal(DateSpan.Day(Day("1996-10-01")), answer.Born.Span);
        Assert.Equal(DateSpan.Day(Day("2006-10-01")), answer.Due);
        Assert.Equal(Tag.Maker, answer.Governing!.Tag);
        Assert.Equal(120, answer.Governing.Number);
        Assert.Null(answer.NextChangeOn);
        var beaten = Assert.Single(answer.Limits, limit => limit.Standing == LimitStanding.Beaten);
        Assert.Equal((72m, DateSpan.Day(Day("2002-10-01"))), (beaten.Number, beaten.Due));
    }

    /// <summary>ISO 2230:2002 5.3 c: 3/94 is July to September 1994; elsewhere it is March 1994 (check-1 of the
    /// catalogue).</summary>
    [Fact]
    public void Of_two_readings_both_are_kept_and_the_earliest_governs()
    {
        var answer = Ask(
            Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Practice)),
            Part(Mark(DateSpan.Quarter(1994, 3), DateSpan.Month(1994, 3))),
            "2004-03-01");

        Assert.Equal(Span("1994-03-01", "1994-09-30"), answer.Born.Span);
        Assert.Equal(Span("2004-03-01", "2004-09-30"), answer.Due);
        Assert.Equal((DueState.Overdue, Certainty.Possible), (answer.State, answer.Certainty));
        Assert.Equal(Day("2004-09-30"), answer.NextChangeOn);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.WhichReading);
    }

    [Fact]
    public void Without_evidence_a_part_is_as_old_as_its_vehicle()
    {
        var answer = Ask(BrakeHose, Part(), "2026-11-25");

        Assert.Equal(
            (Span("1987-05-01", "1987-05-31"), EvidenceKind.Presumption),
            (answer.Born.Span!.Value, answer.Born.Basis!.Value));
        Assert.Equal(Span("1993-05-01", "1993-05-31"), answer.Due);
        Assert.Equal((DueState.Overdue, Certainty.Certain), (answer.State, answer.Certainty));
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.ReadMark);
    }

    [Fact]
    public void Without_evidence_and_built_date_the_state_is_unknown_and_never_good()
    {
        var answer = Ask(BrakeHose, Part(), "2026-11-25", Car(null));

        Assert.Equal(DueState.Unknown, answer.State);
        Assert.Null(answer.Born.Span);
        Assert.Null(answer.Due);
        Assert.Null(answer.NextChangeOn);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.WhenBuilt);
    }

    [Theory]
    [InlineData(EvidenceKind.Fitted)]
    [InlineData(EvidenceKind.Document)]
    public void A_day_without_a_mark_allows_for_five_years_on_the_shelf(EvidenceKind kind)
    {
        var answer = Ask(BrakeHose, Part(On(kind, "2019-04-02")), "2020-04-01");

        Assert.Equal(Span("2014-04-02", "2019-04-02"), answer.Born.Span);
        Assert.Equal(kind, answer.Born.Basis);
        Assert.Equal(
            Span("2020-04-02", "2025-04-02"), answer.Limits.Single(limit => limit.Level == LimitLevel.ReplaceBy).Due);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.ReadMark);
    }

    [Fact]
    public void The_kinds_own_shelf_allowance_comes_before_five_years()
    {
        var kind = BrakeHose with { Shelf = new() { Value = 24, Tag = Tag.Standard, Reference = "R-DGUV" } };

        Assert.Equal(
            Span("2017-04-02", "2019-04-02"),
            Ask(kind, Part(On(EvidenceKind.Fitted, "2019-04-02")), "2020-04-01").Born.Span);
    }

    [Fact]
    public void Impossible_readings_are_dropped_whole_and_never_clipped()
    {
        var year1987 = DateSpan.Year(1987);
        var year1997 = DateSpan.Year(1997);
        var original = new ComponentFacts { Original = true, Evidence = [Mark(year1987, year1997)] };

        var answer = Ask(RoadTyre, original, "1990-01-01");

        Assert.Equal(year1987, answer.Born.Span);
        Assert.Equal(year1997, Assert.Single(answer.Born.Dropped).Days);
    }

    [Fact]
    public void A_reading_later_than_the_day_its_mark_was_seen_is_dropped()
    {
        var mark = Mark(DateSpan.Year(2014), DateSpan.Year(2024)) with { On = Day("2019-06-01") };

        Assert.Equal(DateSpan.Year(2014), Ask(RoadTyre, Part(mark), "2019-06-01").Born.Span);
    }

    /// <summary>A vehicle handbook reads the tyre code 031 as 1981 or 1991; a day of fitting can only remove the later
    /// one.</summary>
    [Fact]
    public void A_fitted_day_removes_only_readings_later_than_itself()
    {
        var mark = Mark(Span("1981-01-18", "1981-01-24"), Span("1991-01-20", "1991-01-26"));

        Assert.Equal(
            Span("1981-01-18", "1981-01-24"),
            Ask(RoadTyre, Part(mark, On(EvidenceKind.Fitted, "1990-05-01")), "2026-01-01").Born.Span);
        Assert.Equal(
            Span("1981-01-18", "1991-01-26"),
            Ask(RoadTyre, Part(mark, On(EvidenceKind.Fitted, "1991-01-22")), "2026-01-01").Born.Span);
    }

    [Fact]
    public void When_every_reading_is_impossible_the_rest_of_the_evidence_decides()
    {
        var answer = Ask(
            BrakeHose, Part(Mark(DateSpan.Year(2024)), On(EvidenceKind.Fitted, "2019-04-02")), "2026-01-01");

        Assert.Equal(Span("2014-04-02", "2019-04-02"), answer.Born.Span);
        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.MarkImpossible);
    }

    /// <summary>49 CFR 571.304 S7.4(h): "Do Not Use After 02/2024" is good through 29 February 2024.</summary>
    [Theory]
    [InlineData("2024-02-29", DueState.DueSoon)]
    [InlineData("2024-03-01", DueState.StopUse)]
    public void A_printed_last_day_is_reached_on_the_day_after(string asOf, DueState expected)
    {
        var answer = Ask(Kind(), Part(Expiry("2024-02-01", "2024-02-29")), asOf);

        Assert.Equal(expected, answer.State);
        Assert.Equal(DateSpan.Day(Day("2024-03-01")), answer.Due);
        Assert.Equal(Tag.Label, answer.Governing!.Tag);
    }

    /// <summary>maths-examples year-only-and-two-rules: made 1998, fitted 2001-03-31, 300 months from made, 240 from
    /// fitted.</summary>
    [Fact]
    public void Of_limits_on_two_clocks_the_one_that_comes_first_governs()
    {
        var answer = Ask(
            Kind(
                Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 300, Tag.Practice),
                Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 240, Tag.Practice)),
            Part(Mark(DateSpan.Year(1998)), On(EvidenceKind.Fitted, "2001-03-31")),
            "2020-01-01");

        Assert.Equal(
            [Span("2023-01-01", "2023-12-31"), DateSpan.Day(Day("2021-03-31"))],
            answer.Limits.Select(limit => limit.Due!.Value));
        Assert.Equal(DateSpan.Day(Day("2021-03-31")), answer.Due);
        Assert.Equal(AgeAnchor.Fitting, answer.Governing!.Anchor);
    }

    [Theory]
    [InlineData("2025-11-30", DueState.InLife, "2025-12-01")]
    [InlineData("2025-12-01", DueState.DueSoon, "2026-01-30")]
    [InlineData("2026-01-29", DueState.DueSoon, "2026-01-30")]
    [InlineData("2026-01-30", DueState.Overdue, null)]
    public void The_warning_window_ends_on_the_due_day(string asOf, DueState expected, string? nextChange)
    {
        var answer = Ask(
            Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 12, Tag.Practice)),
            Part(Mark(DateSpan.Day(Day("2025-01-30")))),
            asOf);

        Assert.Equal(expected, answer.State);
        Assert.Equal(nextChange is null ? null : Day(nextChange), answer.NextChangeOn);
    }

    [Fact]
    public void The_worst_level_reached_governs_however_late_it_came()
    {
        var tyre = Part(Mark(Span("2010-06-06", "2010-06-12")));

        var overdue = Ask(RoadTyre, tyre, "2016-06-06");
        var stopped = Ask(RoadTyre, tyre, "2020-06-06");

        Assert.Equal((DueState.Overdue, Certainty.Possible), (overdue.State, overdue.Certainty));
        Assert.Equal((DueState.StopUse, Certainty.Possible), (stopped.State, stopped.Certainty));
        Assert.Equal(Span("2020-06-06", "2020-06-12"), stopped.Due);
    }

    [Fact]
    public void A_distance_limit_without_an_odometer_is_unknown_and_the_age_limit_still_shows()
    {
        var belt = Part(On(EvidenceKind.Fitted, "2023-05-01"));

        var answer = Ask(TimingBelt, belt, "2025-01-01");
        var later = Ask(TimingBelt, belt, "2028-05-01");

        Assert.Equal(DueState.Unknown, answer.State);
        Assert.Equal(LimitMeasure.Distance, answer.Governing!.Measure);
        Assert.Null(answer.Due);
        Assert.Equal(
            DateSpan.Day(Day("2028-05-01")),
            answer.Limits.Single(limit => limit.Measure == LimitMeasure.Age && limit.Due is not null).Due);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.ReadOdometer);
        Assert.Equal(DueState.Overdue, later.State);
    }

    [Fact]
    public void What_has_no_limit_at_all_is_unknown()
    {
        var answer = Ask(Kind(), Part(Mark(DateSpan.Year(2024))), "2025-01-01");

        Assert.Equal(DueState.Unknown, answer.State);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.WhatLimit);
    }

    [Fact]
    public void A_service_task_counts_from_the_last_time_it_was_done()
    {
        var task = new ServiceTaskFacts
        {
            Done = [
            new() { On = Day("2024-01-31") }, new() { On = Day("2025-02-28") }, new() { On = Day("2023-01-01") }]
        };

        var answer = Ask(Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fill, 12, Tag.Practice)), task, "2026-01-01");

        Assert.Equal(DateSpan.Day(Day("2026-02-28")), answer.Due);
        Assert.Equal(DueState.DueSoon, answer.State);
    }

    [Fact]
    public void A_service_never_on_record_is_as_old_as_the_vehicle()
    {
        var answer = Ask(
            Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fill, 12, Tag.Practice)), new ServiceTaskFacts(),
            "2026-01-01");

        Assert.Equal((DueState.Overdue, Span("1988-05-01", "1988-05-31")), (answer.State, answer.Due!.Value));
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.WhenStarted);
    }

    [Fact]
    public void A_fact_from_the_future_is_set_aside()
    {
        var question = new DueQuestion
        {
            AsOf = Day("2026-11-25"),
            KnownOn = Day("2026-11-25"),
            Kind = BrakeHose,
            Vehicle = Car(),
            Subject = Part(On(EvidenceKind.Fitted, "2027-01-01")),
        };

        var answer = DueAssessment.Assess(question);

        Assert.Equal(EvidenceKind.Presumption, answer.Born.Basis);
        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.FactSetAside);
    }

    [Fact]
    public void A_past_day_is_judged_by_what_is_known_now()
    {
        var answer = Ask(BrakeHose, Part(On(EvidenceKind.Fitted, "2019-04-02")), "2018-01-01");

        Assert.Equal(EvidenceKind.Fitted, answer.Born.Basis);
    }

    [Fact]
    public void A_limit_without_a_number_is_refused() =>
        Assert.Throws<ArgumentException>(() =>
            Ask(Kind(new Limit { Level = LimitLevel.ReplaceBy, Tag = Tag.Maker }), Part(), "2026-01-01"));
}
