using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using Xunit.Sdk;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Distance that cannot be told exactly is a span, and its worse end counts. Expectations are counted by
/// hand.</summary>
public sealed class DistanceInDoubtTests
{
    private static readonly KindRules Belt =
        Kind(Limit.ByDistance(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 60_000, DistanceUnit.Kilometre, Tag.Practice));

    /// <summary>Of any car: one reading mistyped low never makes a belt last longer than without it.</summary>
    [Fact]
    public void One_reading_mistyped_low_never_lengthens_a_life()
    {
        var random = new Random(421);
        for (var i = 0; i < 10_000; i++)
        {
            var (usage, part, low) = Mistyped(random);
            if (!usage.Readings.Append(part.Evidence[0].Odometer!).Any(r => r.On <= low.On && r.Value > low.Value))
            {
                continue;
            }

            var without = Due(part, usage);
            var with = Due(part, usage with { Readings = [.. usage.Readings, low] });
            if (with is null && without is not null || with > without)
            {
                throw new XunitException(
                    $"Case {i}: {without:O} became {with:O} by {low}; fitted {part.Evidence[0].Odometer}, declared "
                        + $"{usage.DeclaredPerYear}, read\n{string.Join('\n', usage.Readings)}");
            }
        }
    }

    /// <summary>Fitted in 2006 at 100,868 km and 250,322 km in 2015: the 60,000 km of the belt are long covered,
    /// whatever the figure of 2016 was meant to be. The readings contradict each other two against two.</summary>
    [Fact]
    public void The_worse_of_two_tracks_counts_until_it_is_said_which_is_right()
    {
        var part = Part(On(EvidenceKind.Fitted, "2006-09-08", 100_868));
        var usage = new UsageFacts
        {
            Readings = [Km("2015-08-01", 250_322), Km("2016-05-27", 101_584)],
            DeclaredPerYear = new Distance(1_000)
        };

        var answer = Ask(Belt, part, "2026-11-25", Car() with { Usage = usage });

        Assert.Equal((DueState.Overdue, Certainty.Possible), (answer.State, answer.Certainty));
        Assert.Equal(2010, answer.Due!.Value.First.Year);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.CheckReading);
        Assert.Contains(answer.Reasons, reason => reason.Contains("the worse of the two counts"));
    }

    /// <summary>An odometer replaced without anybody saying so: 55,000 km on the old one and three readings on the new.
    /// The three outnumber the two, and the 55,000 km are not forgotten for that.</summary>
    [Fact]
    public void More_readings_after_an_unnoted_replacement_do_not_take_away_what_was_driven_before()
    {
        var part = Part(On(EvidenceKind.Fitted, "2010-01-01", 40_000));
        var usage = new UsageFacts
        {
            Readings = [
                Km("2020-01-01", 95_000), Km("2021-01-01", 1_000), Km("2022-01-01", 2_000), Km("2023-01-01", 3_000)],
        };

        // 5,500 km a year for ten years; half the time is the margin of one step: 5,000 more by mid-2020.
        var due = Ask(Belt, part, "2026-11-25", Car() with { Usage = usage }).Limits[0].Due!.Value;

        Assert.True(due.First < Day("2021-01-01"), $"{due.First:O}");
    }

    /// <summary>30,000 km a year are 82.14 a day; from 30 June to 28 December are 181 days, 14,866.5 km. Where nothing
    /// is declared the plain 40 km a day: 7,240 km.</summary>
    [Theory]
    [InlineData(30_000, null, 14_866.5)]
    [InlineData(null, 30_000, 14_866.5)]
    [InlineData(null, null, 7_240)]
    public void What_was_driven_between_two_odometers_is_bounded_by_what_is_said_of_it(
        int? declared, int? club, double expected)
    {
        var usage = new UsageFacts
        {
            Instruments = [
                new() { Id = "old", RemovedOn = Day("2024-06-30") },
                new() { Id = "new", FittedOn = Day("2024-07-01") }],
            Readings = [Km("2024-06-30", 86_000, "old"), Km("2024-12-28", 12, "new")],
            DeclaredPerYear = declared is { } mine ? new Distance(mine) : null,
            FleetPerYear = club is { } theirs ? new Distance(theirs) : null,
        };

        var gap = Assert.Single(UsageModel.Of(usage).Distance.Gaps);

        Assert.Equal(0, gap.Increments[0].Kilometres);
        Assert.Equal(expected, (double)gap.Increments[^1].Kilometres, 0.1);
    }

    /// <summary>The belt was on the car when the odometer was replaced; what the new one shows is not all it
    /// ran.</summary>
    [Fact]
    public void A_new_odometer_does_not_count_from_the_day_the_car_was_new()
    {
        var usage = new UsageFacts
        {
            Instruments = [new() { Id = "new", FittedOn = Day("2020-01-01") }],
            Readings = [Km("2021-01-01", 500, "new"), Km("2022-01-01", 1_500, "new")],
            DeclaredPerYear = new Distance(10_000),
        };

        var answer = Ask(
            Belt, Part(On(EvidenceKind.Fitted, "2008-01-01")), "2022-01-01", Car() with { Usage = usage });

        Assert.Equal((DueState.Overdue, Certainty.Possible), (answer.State, answer.Certainty));
    }

    [Fact]
    public void Equal_readings_do_not_say_that_it_will_stand_for_ever()
    {
        ShownDistance[] readings = [Km("2020-01-01", 50_000), Km("2021-01-01", 50_000), Km("2022-01-01", 50_000)];
        var part = Part(On(EvidenceKind.Fitted, "2020-01-01", 50_000));

        var untold = Ask(Belt, part, "2022-01-01", Car() with { Usage = new() { Readings = readings } });
        var declared = Ask(
            Belt, part, "2022-01-01",
            Car() with { Usage = new() { Readings = readings, DeclaredPerYear = new Distance(36_525) } });

        Assert.Equal((DueState.Unknown, LimitStanding.NoBasis), (untold.State, untold.Limits[0].Standing));
        Assert.Contains(untold.Asks, ask => ask.Code == DueAskCode.ReadOdometer);

        // 100 km a day: 600 days for the 60,000.
        Assert.Equal(Day("2022-01-01").AddDays(600), declared.Due!.Value.First);
    }

    [Fact]
    public void A_reading_far_above_the_rate_is_asked_about()
    {
        var part = Part(On(EvidenceKind.Fitted, "2020-01-01", 50_000));
        var usage = new UsageFacts { Readings = [Km("2021-01-01", 51_000), Km("2022-01-01", 152_000)] };

        var answer = Ask(Belt, part, "2022-02-01", Car() with { Usage = usage });

        Assert.Equal(DueState.Overdue, answer.State);
        Assert.Contains(answer.Questions, question => question.Contains("152,000 km of 2022-01-01"));
    }

    /// <summary>By hand: 99,990 to 12 in nine days is one round; from 12 to 88,000 in twenty years one more or two may
    /// hide. The first round is still told.</summary>
    [Fact]
    public void A_certain_rollover_is_told_beside_an_open_gap()
    {
        var usage = new UsageFacts
        {
            Instruments = [new() { Id = "A", Digits = 5 }],
            Readings = [
                Km("1980-01-01", 10_000), Km("1999-12-20", 88_000), Km("2000-01-01", 88_400), Km("2000-08-01", 12)],
        };

        var reply = UsageProjection.Project(new() { Facts = usage });

        Assert.NotEmpty(reply.Distance.Gaps);
        Assert.Equal(12, Assert.Single(reply.Warnings, w => w.Code == UsageWarningCode.Rollover).Shown!.Value);
    }

    private static (UsageFacts Usage, ComponentFacts Part, ShownDistance Low) Mistyped(Random random)
    {
        var perDay = random.Next(2, 60);
        var start = random.Next(20_000, 120_000);
        var from = Day("2005-01-01");
        ShownDistance True(DateOnly on) =>
            new(on, start + perDay * (on.DayNumber - from.DayNumber), DistanceUnit.Kilometre);
        var fitted = True(from.AddDays(random.Next(0, 3_000)));
        ShownDistance[] readings = [.. Enumerable.Range(0, random.Next(5))
            .Select(_ => True(from.AddDays(random.Next(0, 7_600))))];
        var on = fitted.On.AddDays(random.Next(1, 7_600 - (fitted.On.DayNumber - from.DayNumber)));
        var was = True(on).Value;
        var low = random.Next(3) switch
        {
            0 => Math.Floor(was / 10),
            1 => was - random.Next(1, (int)was),
            _ => fitted.Value + random.Next(-2_000, 2_000),
        };
        return (
            new()
            {
                Readings = readings,
                Instruments = random.Next(2) == 0 ? [new() { Id = "A" }] : [],
                DeclaredPerYear = random.Next(2) == 0 ? new Distance(random.Next(500, 20_000)) : null,
            },
            Part(new Evidence { Kind = EvidenceKind.Fitted, On = fitted.On, Odometer = fitted }),
            new(on, Math.Min(low, was - 1), DistanceUnit.Kilometre));
    }

    private static DateOnly? Due(ComponentFacts part, UsageFacts usage) =>
        Ask(Belt, part, "2026-11-25", Car() with { Usage = usage }).Limits[0].Due?.First;
}
