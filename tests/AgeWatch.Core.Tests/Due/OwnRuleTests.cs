using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>A rule of one's own: it stands after law, label, maker and standard and before practice and memory, may
/// only shorten what can kill or injure, and is looked at again on its day (the design's own rule; no published
/// source).</summary>
public sealed class OwnRuleTests
{
    private static readonly Evidence MadeIn2010 = Mark(DateSpan.Day(Day("2010-06-01")));

    [Theory]
    [InlineData(HazardClass.Marginal, Tag.Practice, DueState.InLife)]
    [InlineData(HazardClass.Negligible, Tag.Memory, DueState.InLife)]
    [InlineData(HazardClass.Critical, Tag.Practice, DueState.Overdue)]
    [InlineData(HazardClass.Catastrophic, Tag.Memory, DueState.Overdue)]
    [InlineData(HazardClass.Negligible, Tag.Standard, DueState.Overdue)]
    public void A_longer_rule_counts_only_for_what_is_mild_and_recommended(
        HazardClass hazard, Tag beaten, DueState expected)
    {
        var answer = Ask(Of(hazard, LimitLevel.ReplaceBy, beaten), With(Own(240)), "2020-01-01");

        Assert.Equal(expected, answer.State);
        var other = answer.Limits.Single(limit => limit.Tag == beaten);
        Assert.Equal(expected == DueState.InLife, other.Standing == LimitStanding.Beaten);
        Assert.NotNull(other.Due); // The number that it beats stays visible.
    }

    [Fact]
    public void A_stop_use_line_of_practice_is_mandatory_and_not_lengthened() =>
        Assert.Equal(
            DueState.StopUse,
            Ask(
                Of(HazardClass.Negligible, LimitLevel.StopUse, Tag.Practice),
                With(Own(240) with { Level = LimitLevel.StopUse }), "2020-01-01").State);

    [Theory]
    [InlineData(HazardClass.Catastrophic, Tag.Law)]
    [InlineData(HazardClass.Critical, Tag.Practice)]
    [InlineData(HazardClass.Marginal, Tag.Maker)]
    public void A_shorter_rule_counts_whatever_stands_beside_it(HazardClass hazard, Tag longer)
    {
        var answer = Ask(Of(hazard, LimitLevel.ReplaceBy, longer), With(Own(36)), "2014-01-01");

        Assert.Equal(
            (DueState.Overdue, Tag.Own, Force.Recommended), (answer.State, answer.Governing!.Tag, answer.Force!.Value));
    }

    [Fact]
    public void On_its_day_it_beats_nothing_any_more_and_is_to_be_looked_at()
    {
        var kind = Of(HazardClass.Marginal, LimitLevel.ReplaceBy, Tag.Practice);

        // 60 days before the review, 2 November, it is due soon.
        var before = Ask(kind, With(Own(240)), "2020-10-01");
        Assert.Equal((DueState.InLife, Day("2020-11-02")), (before.State, before.NextChangeOn));
        var soon = Ask(kind, With(Own(240)), "2020-11-02");
        Assert.Equal((DueState.DueSoon, Day("2021-01-01")), (soon.State, soon.NextChangeOn));

        var after = Ask(kind, With(Own(240)), "2021-01-01");
        Assert.Equal((DueState.Overdue, Tag.Practice), (after.State, after.Governing!.Tag));

        var young = Ask(kind with { Limits = [] }, With(Own(240)), "2021-01-01");
        Assert.Equal((DueState.InspectDue, Certainty.Certain), (young.State, young.Certainty));
        Assert.Contains(young.Reasons, sentence => sentence.Contains("review the rule", StringComparison.Ordinal));
    }

    [Fact]
    public void One_without_a_reason_was_told_otherwise_once_and_its_reference_is_asked_for()
    {
        var kind = Of(HazardClass.Marginal, LimitLevel.ReplaceBy, Tag.Practice);
        Assert.Contains(
            Ask(kind, With(Own(240) with { Reason = null }), "2020-01-01").Asks,
            ask => ask.Code == DueAskCode.WhatReference);
        Assert.DoesNotContain(
            Ask(kind, With(Own(240)), "2020-01-01").Asks, ask => ask.Code == DueAskCode.WhatReference);
    }

    private static KindRules Of(HazardClass hazard, LimitLevel level, Tag tag) =>
        Kind(Limit.Age(level, AgeAnchor.Manufacture, 60, tag)) with { Hazard = hazard };

    private static ComponentFacts With(Limit own) => Part(MadeIn2010) with { OwnLimits = [own] };

    private static Limit Own(int months) => Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, months, Tag.Own) with
    {
        NotedBy = "An owner",
        Reason = "It stands in the dry",
        ReviewOn = Day("2021-01-01"),
    };
}
