using AgeWatch.Core.Usage;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Usage;

/// <summary>Odometer readings as people write them down. Expectations are counted by hand.</summary>
public sealed class CanonicalDistanceTests
{
    private static readonly Odometer FiveDigits = new() { Id = "A", Digits = 5 };

    /// <summary>49 CFR 580.5(e)(2): a mechanical odometer has a designed limit. 99,990 to 12 is 22 miles.</summary>
    [Fact]
    public void A_single_believable_rollover_is_taken()
    {
        var facts = new UsageFacts
        {
            Instruments = [FiveDigits with { Unit = DistanceUnit.Mile }],
            Readings = [Miles("2020-01-01", 99_990), Miles("2020-01-10", 12)],
        };

        var distance = CanonicalDistance.Of(facts, null);

        Assert.Equal(22m, Assert.Single(distance.Totals).Miles);
        Assert.Equal(1, distance.Readings[1].Rollovers);
    }

    /// <summary>Twenty years between two readings of five figures: 11, 24 or 38 km a day, all below 40.</summary>
    [Fact]
    public void A_forward_step_can_hide_a_rollover_too()
    {
        var facts = new UsageFacts
        {
            Instruments = [FiveDigits],
            Readings = [Km("2000-01-01", 10_000), Km("2020-01-01", 88_000)]
        };

        Assert.Equal([78_000m, 178_000m, 278_000m], CanonicalDistance.Of(facts, null)
            .Totals.Select(total => total.Kilometres));
    }

    [Fact]
    public void A_hard_driven_car_is_not_called_impossible()
    {
        // 9,040 mi in 359 days are 40.5 km a day, just above what is believed without knowing the car.
        var facts = new UsageFacts { Readings = [Miles("2008-08-11", 123_259), Miles("2009-08-05", 132_299)] };

        Assert.Empty(CanonicalDistance.Of(facts, null).Refused);
    }

    [Fact]
    public void One_wrong_reading_does_not_take_the_right_ones_with_it()
    {
        var facts = new UsageFacts
        {
            Readings = [
                Km("2020-01-01", 50_000), Km("2021-01-01", 51_000), Km("2022-01-01", 15_200), Km("2023-01-01", 53_000),
                Km("2024-01-01", 54_000)],
        };

        var distance = CanonicalDistance.Of(facts, null);

        var refused = Assert.Single(distance.Refused);
        Assert.Equal((15_200m, RefusalReason.Backwards), (refused.Shown.Value, refused.Reason));
        Assert.Equal(4_000m, Assert.Single(distance.Totals).Kilometres);
    }

    [Fact]
    public void Swapped_figures_are_recognised()
    {
        var facts = new UsageFacts
        {
            Readings = [
            Km("2020-01-01", 50_000), Km("2021-01-01", 25_100), Km("2022-01-01", 54_000)]
        };

        Assert.Equal(
            new TypingSlip(SlipKind.SwappedFigures, 52_100, DistanceUnit.Kilometre),
            Assert.Single(CanonicalDistance.Of(facts, null).Refused).Suggestion);
    }

    /// <summary>48,210 mi is 77,586.5 km: written as kilometres it runs backwards.</summary>
    [Fact]
    public void A_wrong_unit_is_recognised()
    {
        var facts = new UsageFacts
        {
            Readings = [
            Miles("2020-01-01", 47_900), Km("2021-01-01", 48_210), Miles("2022-01-01", 49_000)]
        };

        Assert.Equal(
            new TypingSlip(SlipKind.WrongUnit, 48_210, DistanceUnit.Mile),
            Assert.Single(CanonicalDistance.Of(facts, null).Refused).Suggestion);
    }

    [Fact]
    public void Kilometres_written_as_miles_are_accepted_with_a_warning_because_they_only_shorten()
    {
        var facts = new UsageFacts { Readings = [Miles("2020-01-01", 68_210), Miles("2021-01-01", 110_500)] };

        var distance = CanonicalDistance.Of(facts, null);

        Assert.Empty(distance.Refused);
        Assert.Equal(
            new TypingSlip(SlipKind.WrongUnit, 110_500, DistanceUnit.Kilometre),
            Assert.Single(distance.Unusual).Suggestion);
    }

    [Fact]
    public void Readings_that_cannot_be_are_refused_with_the_reason()
    {
        var facts = new UsageFacts
        {
            Instruments = [
                FiveDigits with { FittedOn = Day("2010-01-01"), RemovedOn = Day("2015-12-31") },
                new() { Id = "B", Digits = 6, FittedOn = Day("2015-12-31") }],
            Readings =
            [
                Km("2012-01-01", 1_000, "A"), Km("2013-01-01", -5, "A"), Km("2013-01-01", 123_456, "A"),
                Km("2009-01-01", 5, "A"),
                Km("2013-01-01", 5, "C"), Km("2015-12-31", 7), Km("2030-01-01", 9_000, "B"),
            ],
        };

        Assert.Equal(
            [
                RefusalReason.Negative, RefusalReason.BeyondDrums, RefusalReason.OutsideOdometer,
                RefusalReason.NoSuchOdometer, RefusalReason.WhichOdometer, RefusalReason.NotYet],
            CanonicalDistance.Of(facts, Day("2026-01-01")).Refused.Select(refused => refused.Reason));
    }

    [Fact]
    public void A_reading_without_a_name_belongs_to_the_odometer_of_its_day()
    {
        var facts = new UsageFacts
        {
            Instruments = [
                new() { Id = "old", RemovedOn = Day("2014-12-31") },
                new() { Id = "new", FittedOn = Day("2015-01-01") }],
            Readings = [
                Km("2010-01-01", 90_000), Km("2014-12-31", 95_000), Km("2015-01-01", 0), Km("2016-01-01", 1_000)],
        };

        var distance = CanonicalDistance.Of(facts, null);

        Assert.Empty(distance.Refused);
        Assert.True(Assert.Single(distance.Gaps).BetweenOdometers);
        Assert.Equal(6_000m, distance.Totals[0].Kilometres);
    }

    [Fact]
    public void Named_odometers_need_not_be_declared()
    {
        var facts = new UsageFacts
        {
            Readings = [
                Miles("2010-01-01", 90_000, "A"), Miles("2015-01-01", 91_000, "A"), Km("2015-01-01", 12, "B"),
                Km("2016-01-01", 1_012, "B")],
        };

        Assert.Equal(1_609.344m + 1_000, Assert.Single(CanonicalDistance.Of(facts, null).Totals).Kilometres);
    }

    [Fact]
    public void Of_two_readings_that_contradict_each_other_the_higher_is_kept()
    {
        var facts = new UsageFacts { Readings = [Km("2020-01-01", 60_000), Km("2021-01-01", 50_000)] };

        Assert.Equal(60_000, Assert.Single(CanonicalDistance.Of(facts, null).Readings).Shown.Value);
    }

    [Fact]
    public void The_same_reading_twice_counts_once() =>
        Assert.Single(CanonicalDistance.Of(
            new() { Readings = [Km("2020-01-01", 5), Km("2020-01-01", 5)] }, null).Readings);

    [Fact]
    public void Nothing_read_is_nothing_known() => Assert.Empty(CanonicalDistance.Of(UsageFacts.None, null).Totals);
}
