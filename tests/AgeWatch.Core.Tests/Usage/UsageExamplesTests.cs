using AgeWatch.Core.Usage;
using static AgeWatch.Core.Tests.Due.Given;
using static AgeWatch.Core.Tests.Usage.MathsExamples;

namespace AgeWatch.Core.Tests.Usage;

/// <summary>The worked examples of usage from sparse readings, with the tolerances given beside them.</summary>
public sealed class UsageExamplesTests
{
    /// <summary>
    /// Sen 1968 (JASA 63:1379), data and results as in tests/theil.R of the CRAN package deming: slope 4, intercept 6,
    /// 93 % interval 26/7 to 35/8.
    /// </summary>
    [Fact]
    public void Theil_Sen_gives_Sens_own_line()
    {
        var (inputs, expected) = Get("theil-sen-sen1968");
        var x = inputs.The("x").Numbers();
        var y = inputs.The("y").Numbers();

        Assert.Equal(expected.Number("slope"), TheilSen.Slope(x, y)!.Value, 1e-9);
        Assert.Equal(expected.Number("intercept_joint_median_residual"), TheilSen.Intercept(x, y)!.Value, 1e-9);
        Assert.Equal(expected.Number("weighted_slope_by_dx_lower_median"), TheilSen.WeightedSlope(x, y)!.Value, 1e-9);
        var (low, high) = TheilSen.Interval(x, y, inputs.Number("confidence"))!.Value;
        Assert.Equal(26 / 7.0, low, 1e-9);
        Assert.Equal(35 / 8.0, high, 1e-9);
    }

    [Fact]
    public void Theil_Sen_of_one_x_has_no_slope() => Assert.Null(TheilSen.Slope([1, 1], [1, 2]));

    /// <summary>R.E. Wilson et al., Techniques for Inferring Mileage from the DfT MOT data set, 2015: 9,040 mi in 359
    /// days.</summary>
    [Fact]
    public void Two_published_readings_give_the_published_rate()
    {
        var (_, expected) = Get("mot-two-readings");

        var reply = UsageProjection.Project(new()
        {
            Facts = new() { Readings = [Miles("2008-08-11", 123_259), Miles("2009-08-05", 132_299)] },
        });

        Assert.Equal(9_040m, reply.Total!.Value.Miles);
        Assert.Equal(expected.Number("per_day"), (double)reply.PerYear!.Value.Miles / 365.25, 0.005);
        Assert.Equal(RateBasis.OneStep, reply.Basis);
    }

    /// <summary>Constructed example: five-digit miles that roll over, then a kilometre odometer fitted on a common
    /// day.</summary>
    [Fact]
    public void A_rollover_and_a_change_of_odometer_give_one_line_of_distance()
    {
        var (inputs, expected) = Get("odometer-rollover-replacement-units");
        var facts = new UsageFacts
        {
            Instruments =
            [
                new() { Id = "A", Unit = DistanceUnit.Mile, Digits = 5 },
                new() { Id = "B", Unit = DistanceUnit.Kilometre, Digits = 6 },
            ],
            Readings = [.. inputs.The("readings").EnumerateArray().Select(row => new ShownDistance(
                row[0].Day(), row[1].GetDecimal(), row[2].GetString() == "A"
                    ? DistanceUnit.Mile
                    : DistanceUnit.Kilometre, row[2].GetString()))],
            MaxPerDay = new Distance(100),
        };

        var model = UsageModel.Of(facts, alpha: inputs.Number("alpha_one_sided"));

        Assert.Equal(
            expected.The("cumulative_km").EnumerateArray().Select(row => (row[0].Day(), row[1].GetDecimal())),
            model.Distance.Readings.Select(reading => (reading.On, reading.Low.Kilometres)));
        Assert.Equal((Day("2000-05-20"), 1), model.Distance.Readings.Where(reading => reading.Rollovers > 0)
            .Select(reading => (reading.On, reading.Rollovers))
            .Single());
        Assert.Equal(expected.The("increments").GetInt32(), model.Steps);
        Near(expected.Number("rate_km_per_day"), model.Rate.Overall, 1e-6);
        Near(expected.Number("sigma2_km2_per_day"), model.Rate.Variance, 1e-6);
        Near(expected.Number("theil_sen_weighted_km_per_day"), model.Rate.CrossCheck, 1e-6);
        Near(expected.Number("t_quantile"), model.Rate.Quantile, 1e-6);
        var (early, likely, late) = model.Rate.Horizons(inputs.Number("remaining_km"));
        Near(expected.Number("horizon_days_early"), early, 1e-6);
        Near(expected.Number("horizon_days_expected"), likely, 1e-6);
        Near(expected.Number("horizon_days_late"), late, 1e-6);
        Assert.Equal(
            new ReachedOn(expected.The("early_date")
                .Day(), expected.The("expected_date")
                .Day(), expected.The("late_date")
                .Day()),
            model.After(Day("2007-06-03"), new(10_000)));
    }

    /// <summary>The same readings with the daily cap left to the rule: the answer must not depend on knowing the
    /// cap.</summary>
    [Fact]
    public void The_default_cap_reads_the_same_rollover()
    {
        var (inputs, expected) = Get("odometer-rollover-replacement-units");
        var reply = UsageProjection.Project(new()
        {
            Facts = new()
            {
                Instruments = [
                    new() { Id = "A", Unit = DistanceUnit.Mile, Digits = 5 }, new() { Id = "B", Digits = 6 }],
                Readings = [.. inputs.The("readings").EnumerateArray().Select(row => new ShownDistance(
                    row[0].Day(), row[1].GetDecimal(), row[2].GetString() == "A"
                        ? DistanceUnit.Mile
                        : DistanceUnit.Kilometre, row[2].GetString()))],
            },
            Remaining = new(10_000),
            Alpha = 0.1,
        });

        Assert.Equal(26_020.951744m, reply.Total!.Value.Kilometres);
        Assert.Equal(expected.The("early_date").Day(), reply.ReachedOn!.Value.Early);
        Assert.Contains(reply.Warnings, warning => warning.Code == UsageWarningCode.Rollover);
    }

    /// <summary>Constructed example: nine years between two readings of a five-digit odometer, 100 km a day at
    /// most.</summary>
    [Fact]
    public void A_rollover_that_can_be_read_in_several_ways_is_asked_about()
    {
        var (_, expected) = Get("odometer-ambiguous-rollover");
        var reply = UsageProjection.Project(new()
        {
            Facts = new()
            {
                Instruments = [new() { Id = "A", Digits = 5 }],
                Readings = [Km("1994-06-01", 90_500), Km("2003-06-01", 12_400)],
                MaxPerDay = new Distance(100),
            },
            Remaining = new(10_000),
        });

        Assert.Equal(expected.The("increments_km").Numbers(), reply.Totals.Select(total => (double)total.Kilometres));
        Assert.Null(reply.Total);
        Assert.Single(reply.Questions);

        // 321,900 km in 3,287 days is the highest rate that is believable: it makes the early day.
        Assert.Equal(321_900 / 3287.0 * 365.25, (double)reply.PerYear!.Value.Kilometres, 1e-3);
    }

    [Fact]
    public void Without_digits_a_backward_reading_is_impossible()
    {
        var reply = UsageProjection.Project(new()
        {
            Facts = new()
            {
                Readings = [
            Km("1994-06-01", 90_500), Km("2003-06-01", 12_400)]
            }
        });

        Assert.Equal(RefusalReason.Backwards, Assert.Single(reply.Distance.Refused).Reason);
        Assert.Equal(90_500, Assert.Single(reply.Distance.Readings).Shown.Value);
    }

    /// <summary>Constructed example: in use from April to October.</summary>
    [Fact]
    public void A_season_clock_runs_only_in_season()
    {
        var (inputs, expected) = Get("season-clock");
        var facts = new UsageFacts
        {
            Season = new(new(4, 1), new(10, 31)),
            Readings = [.. inputs.The("readings")
                .EnumerateArray()
                .Select(row => new ShownDistance(row[0].Day(), row[1].GetDecimal(), DistanceUnit.Kilometre))],
        };

        var model = UsageModel.Of(facts);

        foreach (var (reading, s) in model.Distance.Readings.Zip(expected.The("S").Numbers()))
        {
            Near(s + 2000, model.Clock.At(reading.On), 1e-9);
        }

        Near(expected.Number("km_per_season_year"), (double)model.OverallPerYear!.Value.Kilometres, 1e-9);
        Assert.Equal(expected.The("due_date").Day(), model.After(Day("2024-04-06"), new(5_000)).Likely);
        Assert.Equal(
            expected.The("naive_calendar_due").Day(),
            UsageModel.Of(facts with { Season = null }).After(Day("2024-04-06"), new(5_000)).Likely);
    }
}
