using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>A deferral changes what is asked of people, never the state.</summary>
public sealed class DeferralTests
{
    private static readonly KindRules Hose =
        Kind(Limit.Age(
            LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 60,
            Tag.Practice)) with
        { Deferral = DeferralRule.Conditional };

    [Theory]
    [InlineData("2026-03-31", DeferralStanding.None, "2026-04-01")]
    [InlineData("2026-04-01", DeferralStanding.Running, "2026-07-01")]
    [InlineData("2026-06-30", DeferralStanding.Running, "2026-07-01")]
    [InlineData("2026-07-01", DeferralStanding.Ended, null)]
    public void It_ends_by_itself_and_the_state_stays(string asOf, DeferralStanding expected, string? nextChange)
    {
        var answer = Ask(Hose, PutOff(), asOf);

        Assert.Equal(DueState.Overdue, answer.State);
        Assert.Equal(expected, answer.DeferralStanding);
        Assert.Equal(nextChange is null ? null : Day(nextChange), answer.NextChangeOn);
    }

    [Fact]
    public void A_kind_that_may_never_be_put_off_ignores_it()
    {
        var answer = Ask(Hose with { Deferral = DeferralRule.Never }, PutOff(), "2026-05-01");

        Assert.Equal((DeferralStanding.Refused, DueState.Overdue), (answer.DeferralStanding, answer.State));
    }

    /// <summary>36,525 km a year are 100 km a day: 1,000 km are covered on the tenth day, the last it holds is the
    /// ninth.</summary>
    [Fact]
    public void It_ends_by_distance_too()
    {
        var car = Car() with
        {
            Usage = new() { Readings = [Km("2026-04-01", 50_000)], DeclaredPerYear = new Distance(36_525) },
        };

        var answer = Ask(Hose, PutOff(Km("2026-04-01", 51_000)), "2026-04-10", car);

        Assert.Equal(
            (DeferralStanding.Running, Day("2026-04-10")), (answer.DeferralStanding, answer.DeferredUntil!.Value));
        Assert.Equal(Day("2026-04-11"), answer.NextChangeOn);
    }

    /// <summary>Put off on 1 April until the end of June and done on 15 May: from then on nothing is put off.</summary>
    [Theory]
    [InlineData("2026-05-14", DeferralStanding.Running)]
    [InlineData("2026-05-15", DeferralStanding.Ended)]
    public void It_ends_with_the_work(string asOf, DeferralStanding expected)
    {
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fill, 12, Tag.Practice)) with
        { Deferral = DeferralRule.Conditional };
        var task = new ServiceTaskFacts
        {
            Done = [new() { On = Day("2025-03-01") }, new() { On = Day("2026-05-15") }],
            Deferral = PutOff().Deferral,
        };

        Assert.Equal(expected, Ask(kind, task, asOf).DeferralStanding);
    }

    /// <summary>Due on 1 March 2026 and 18,000 km, put off, done on 15 May at 19,000 km: the next is due on 1 March
    /// 2027 and at 26,000 km, not later (14 CFR 91.409(b) is the model).</summary>
    [Fact]
    public void What_was_put_off_counts_from_the_day_and_distance_at_which_it_was_due()
    {
        var kind = EngineOil with { Deferral = DeferralRule.Conditional };
        var task = new ServiceTaskFacts
        {
            Done = [
                new() { On = Day("2025-03-01"), Odometer = Km("2025-03-01", 10_000) },
                new() { On = Day("2026-05-15"), Odometer = Km("2026-05-15", 19_000) }],
            Deferral = PutOff().Deferral,
        };

        var car = Car() with { Usage = new() { DeclaredPerYear = new(1_000) } };
        var limits = Ask(kind, task, "2026-06-01", car).Limits;

        Assert.Equal(DateSpan.Day(Day("2027-03-01")), limits[0].Due);
        Assert.Equal(7_000, limits[1].Left!.Value.Least);
    }

    private static ComponentFacts PutOff(ShownDistance? until = null) => new()
    {
        Evidence = [Mark(DateSpan.Day(Day("2020-01-01")))],
        Deferral = new()
        {
            Reason = "waiting for the part",
            Person = "officer",
            DecidedOn = Day("2026-04-01"),
            UntilOn = Day("2026-06-30"),
            UntilShown = until,
        },
    };
}
