using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>What stands behind an answer. Mandatory: law, label, maker, standard, a stop-use level of any tag, an unfit
/// or failed finding. The rest is recommended (the design's own rule; no published source).</summary>
public sealed class ForceTests
{
    private static readonly Evidence MadeIn2010 = Mark(DateSpan.Day(Day("2010-06-01")));

    [Theory]
    [InlineData(Tag.Law, Force.Mandatory)]
    [InlineData(Tag.Label, Force.Mandatory)]
    [InlineData(Tag.Maker, Force.Mandatory)]
    [InlineData(Tag.Standard, Force.Mandatory)]
    [InlineData(Tag.Practice, Force.Recommended)]
    [InlineData(Tag.Memory, Force.Recommended)]
    public void The_tag_of_a_limit_says_its_force(Tag tag, Force expected)
    {
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 60, tag));
        foreach (var on in new[] { "2011-01-01", "2015-05-01", "2020-01-01" }) // in life, due soon, overdue
        {
            var answer = Ask(kind, Part(MadeIn2010), on);
            Assert.Equal(expected, answer.Force);
            Assert.Equal(expected, Assert.Single(answer.Limits).Force);
        }
    }

    [Theory]
    [InlineData(Tag.Practice)]
    [InlineData(Tag.Memory)]
    public void A_stop_use_level_is_mandatory_whatever_its_tag(Tag tag) =>
        Assert.Equal(
            Force.Mandatory,
            Ask(Kind(Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 60, tag)), Part(MadeIn2010), "2020-01-01")
                .Force);

    [Theory]
    [InlineData(FindingGrade.Fail, DueState.Overdue)]
    [InlineData(FindingGrade.Unfit, DueState.StopUse)]
    public void A_bad_finding_is_mandatory(FindingGrade grade, DueState state)
    {
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 600, Tag.Practice));
        var part = Part(MadeIn2010) with { Findings = [new() { On = Day("2019-06-01"), Grade = grade }] };

        var answer = Ask(kind, part, "2020-01-01");

        Assert.Equal((state, Force.Mandatory), (answer.State, answer.Force));
    }

    /// <summary>The earlier line governs; that the maker's was reached too must not be hidden behind it.</summary>
    [Fact]
    public void It_becomes_mandatory_on_the_day_the_makers_figure_is_reached_and_that_day_is_the_next_change()
    {
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 60, Tag.Practice));
        var part = Part(MadeIn2010, new Evidence { Kind = EvidenceKind.Fitted, On = Day("2012-03-01") }) with
        {
            OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 120, Tag.Maker)],
        };

        var before = Ask(kind, part, "2020-01-01");
        Assert.Equal((DueState.Overdue, Force.Recommended), (before.State, before.Force));

        var last = Ask(kind, part, "2022-02-28");
        Assert.Equal((DueState.Overdue, Force.Recommended), (last.State, last.Force));
        Assert.Equal(Day("2022-03-01"), last.NextChangeOn);

        var after = Ask(kind, part, "2022-03-01");
        Assert.Equal((DueState.Overdue, Force.Mandatory), (after.State, after.Force));
        Assert.Equal(Tag.Practice, after.Governing!.Tag);
    }

    [Fact]
    public void What_nothing_limits_has_no_force() =>
        Assert.Null(Ask(Kind(), Part(MadeIn2010), "2020-01-01").Force);

    /// <summary>Nothing says how old it is, and a law would end its life.</summary>
    [Fact]
    public void An_unknown_age_has_the_force_of_the_limit_that_cannot_be_counted() =>
        Assert.Equal(
            Force.Mandatory,
            Ask(
                Kind(
                    Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 60, Tag.Law),
                    Limit.Age(LimitLevel.InspectFrom, AgeAnchor.Manufacture, 24, Tag.Practice)),
                Part(), "2020-01-01").Force);
}
