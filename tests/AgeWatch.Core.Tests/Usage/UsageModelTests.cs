using AgeWatch.Core.Usage;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Usage;

/// <summary>Rates and days. 36,525 km a year are 100 km a day, so expectations can be counted by hand.</summary>
public sealed class UsageModelTests
{
    private static readonly ShownDistance[] HundredADay = [
        Km("2024-01-01", 0), Km("2024-01-11", 1_000), Km("2024-01-31", 3_000)];

    [Fact]
    public void Steps_without_any_spread_make_one_day_of_the_three()
    {
        var reached = UsageModel.Of(new() { Readings = HundredADay }).After(Day("2024-01-31"), new(1_050));

        Assert.Equal(new ReachedOn(Day("2024-02-10"), Day("2024-02-10"), Day("2024-02-10")), reached);
    }

    [Fact]
    public void Standing_stops_the_clock_and_not_the_calendar()
    {
        var facts = new UsageFacts { Readings = HundredADay, Standing = [new(Day("2024-02-05"), Day("2024-03-05"))] };

        // Four days before it stands (31 January to 3 February is 4 days, then 4 February), the rest after 30 days of
        // standing.
        Assert.Equal(Day("2024-03-11"), UsageModel.Of(facts).After(Day("2024-01-31"), new(1_050)).Likely);
    }

    [Fact]
    public void What_still_stands_may_move_tomorrow()
    {
        var facts = new UsageFacts { Readings = HundredADay, Standing = [new(Day("2024-02-05"), null)] };

        Assert.Equal(Day("2024-06-06"), UsageModel.Of(facts, knownOn: Day("2024-06-01"))
            .After(Day("2024-01-31"), new(1_050))
            .Early);
    }

    [Theory]
    [InlineData("2024-02-03", 500, "2024-02-05")]
    [InlineData("2024-02-03", 2_000, "2024-02-03")]
    [InlineData("2024-02-20", 5_000, "2024-02-10")]
    [InlineData("2024-01-15", 5_000, "2024-02-10")]
    public void A_planned_trip_adds_its_distance_on_its_day(string on, int km, string expected)
    {
        var facts = new UsageFacts { Readings = HundredADay, PlannedTrips = [new(Day(on), Day(on), new(km))] };

        Assert.Equal(Day(expected), UsageModel.Of(facts).After(Day("2024-01-31"), new(1_050)).Early);
    }

    [Fact]
    public void The_early_day_takes_a_long_trip_as_driven_on_its_first_day()
    {
        var facts = new UsageFacts
        {
            Readings = HundredADay,
            PlannedTrips = [new(Day("2024-02-02"), Day("2024-02-06"), new(2_000))]
        };

        var reached = UsageModel.Of(facts).After(Day("2024-01-31"), new(1_050));

        Assert.Equal((Day("2024-02-02"), Day("2024-02-06")), (reached.Early, reached.Late));
    }

    [Fact]
    public void With_few_readings_the_larger_of_the_claimed_rates_governs()
    {
        var facts = new UsageFacts
        {
            Readings = [Km("2024-01-01", 0)],
            DeclaredPerYear = new(18_262.5m),
            FleetPerYear = new(36_525)
        };

        var model = UsageModel.Of(facts);

        Assert.Equal(RateBasis.Fleet, model.Basis);
        Assert.Equal(
            new ReachedOn(Day("2024-01-11"), Day("2024-01-11"), Day("2024-01-21")),
            model.After(Day("2024-01-01"), new(1_000)));
    }

    [Fact]
    public void One_step_alone_leaves_half_the_time()
    {
        var model = UsageModel.Of(new() { Readings = HundredADay[..2] });

        Assert.Equal(
            (Day("2024-01-16"), Day("2024-01-21")),
            (model.After(Day("2024-01-11"), new(1_000)).Early, model.After(Day("2024-01-11"), new(1_000)).Likely));
    }

    /// <summary>
    /// The club's figure is nobody's word on this vehicle: one step of its own keeps half the time as its margin (1,000
    /// km at 100 a day: 5 days), unless the club's figure is more than twice as high (250 a day: 4 days). The late day
    /// stays its own.
    /// </summary>
    [Theory]
    [InlineData(18_262.5, "2024-01-16", "2024-01-21")]
    [InlineData(54_787.5, "2024-01-16", "2024-01-17")]
    [InlineData(91_312.5, "2024-01-15", "2024-01-15")]
    public void The_clubs_figure_confirms_no_rate(double fleet, string early, string likely)
    {
        var reached = UsageModel.Of(new() { Readings = HundredADay[..2], FleetPerYear = new((decimal)fleet) })
            .After(Day("2024-01-11"), new(1_000));

        Assert.Equal(new ReachedOn(Day(early), Day(likely), Day("2024-01-21")), reached);
    }

    /// <summary>1,000 km at the club's 50 a day: 20 days. How slow this one may be nobody knows.</summary>
    [Fact]
    public void The_clubs_figure_alone_has_no_late_day()
    {
        var model = UsageModel.Of(new() { Readings = HundredADay[..1], FleetPerYear = new(18_262.5m) });

        Assert.Equal(
            new ReachedOn(Day("2024-01-21"), Day("2024-01-21"), null), model.After(Day("2024-01-01"), new(1_000)));
    }

    /// <summary>Nearest rank by hand: 0.95 of 20 is 19; of 19 it is 18.05, so the 19th; of 21 19.95, so the 20th; half
    /// of 5 is the third.</summary>
    [Theory]
    [InlineData(20, 0.95, 19)]
    [InlineData(19, 0.95, 19)]
    [InlineData(21, 0.95, 20)]
    [InlineData(5, 0.5, 3)]
    [InlineData(1, 0.5, 1)]
    public void A_share_of_the_vehicles_does_not_exceed_the_figure(int vehicles, double share, int expected) =>
        Assert.Equal(
            new Distance(expected),
            YearlyUse.NotExceededBy(Enumerable.Range(1, vehicles).Reverse().Select(km => new Distance(km)), share));

    [Fact]
    public void Of_no_vehicle_nothing_is_said() => Assert.Null(YearlyUse.NotExceededBy([], 0.95));

    [Fact]
    public void One_step_slower_than_declared_uses_what_is_declared()
    {
        var facts = new UsageFacts { Readings = HundredADay[..2], DeclaredPerYear = new(73_050) };

        Assert.Equal(Day("2024-01-16"), UsageModel.Of(facts).After(Day("2024-01-11"), new(1_000)).Early);
    }

    /// <summary>One wild year after nine: the median of the slopes disagrees by more than 30 %, the higher rate is
    /// used.</summary>
    [Fact]
    public void Rates_that_disagree_are_both_shown_and_the_higher_is_used()
    {
        var facts = new UsageFacts
        {
            Readings = [.. Enumerable.Range(0, 10)
                .Select(year => Km($"{2010 + year}-01-01", 1_000 * year)), Km("2020-01-01", 39_000)],
        };

        var reply = UsageProjection.Project(new() { Facts = facts, Remaining = new(5_000) });

        Assert.True(reply.RatesDisagree);
        Assert.Equal(reply.PerYear > reply.CrossCheckPerYear
            ? reply.PerYear
            : reply.CrossCheckPerYear, reply.UsedPerYear);
        Assert.Contains(reply.Warnings, warning => warning.Code == UsageWarningCode.RatesDisagree);
        Assert.True(reply.ReachedOn!.Value.Early <= reply.ReachedOn.Value.Likely);
        Assert.False(reply.ReachedOn.Value.Late < reply.ReachedOn.Value.Likely);
    }

    [Fact]
    public void A_car_that_never_moved_never_gets_there()
    {
        var model = UsageModel.Of(new() { Readings = [Km("2020-01-01", 5), Km("2021-01-01", 5), Km("2022-01-01", 5)] });

        Assert.Equal(default, model.After(Day("2022-01-01"), new(100)));
    }

    [Fact]
    public void Nothing_left_is_reached_at_once() =>
        Assert.Equal(Day("2024-01-31"), UsageModel.Of(new() { Readings = HundredADay })
            .After(Day("2024-01-31"), new(0))
            .Late);

    [Fact]
    public void Readings_within_one_closed_season_belong_to_one_step()
    {
        var facts = new UsageFacts
        {
            Season = new(new(4, 1), new(10, 31)),
            Readings = [
                Km("2021-06-01", 1_000), Km("2021-12-01", 3_000), Km("2022-02-01", 3_100), Km("2022-08-01", 5_000)],
        };

        var model = UsageModel.Of(facts);

        Assert.Equal(2, model.Steps);
        Assert.True(double.IsFinite(model.Rate.Rate));
    }

    /// <summary>November to March: 151 days in a common year, 59 + 31 of them from January to March.</summary>
    [Fact]
    public void A_season_may_run_over_the_new_year()
    {
        var facts = new UsageFacts
        {
            Season = new(new(11, 1), new(3, 31)),
            Readings = [Km("2021-01-01", 0), Km("2022-01-01", 1_510), Km("2023-01-01", 3_020)]
        };

        var model = UsageModel.Of(facts);

        Assert.Equal(1_510, (double)model.OverallPerYear!.Value.Kilometres, 1e-6);

        // Ten kilometres a day in season: 900 from 1 January to 31 March 2023, the last 100 from 1 November on.
        Assert.Equal(Day("2023-11-11"), model.After(Day("2023-01-01"), new(1_000)).Likely);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(0.5)]
    [InlineData(double.NaN)]
    public void An_alpha_that_is_no_chance_is_refused(double alpha) =>
        Assert.ThrowsAny<ArgumentException>(() => UsageModel.Of(UsageFacts.None, alpha: alpha));

    [Fact]
    public void Later_readings_than_the_day_asked_play_no_part()
    {
        var reply = UsageProjection.Project(new()
        {
            Facts = new() { Readings = HundredADay },
            AsOf = Day("2024-01-20"),
            Remaining = new(1_000)
        });

        Assert.Equal(1_000m, reply.Total!.Value.Kilometres);
        Assert.Contains(reply.Warnings, warning => warning.Code == UsageWarningCode.ReadingRefused);
    }
}
