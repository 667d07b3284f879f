using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Distance limits of parts. 100 km a day without spread, so expectations can be counted by hand.</summary>
public sealed class DistanceClockTests
{
    private static readonly KindRules TenThousand = Kind(
        Limit.ByDistance(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 10_000, DistanceUnit.Kilometre, Tag.Maker));

    private static readonly VehicleFacts HundredADay = Car() with
    {
        Usage = new() { Readings = [Km("2024-01-01", 50_000), Km("2024-01-11", 51_000), Km("2024-01-31", 53_000)] },
    };

    [Fact]
    public void It_counts_from_what_was_shown_when_it_was_fitted()
    {
        var answer = Ask(TenThousand, Part(On(EvidenceKind.Fitted, "2024-01-11", 51_000)), "2024-02-01", HundredADay);

        // 2,000 km of 10,000 are used on 31 January; 8,000 more take 80 days.
        Assert.Equal(DateSpan.Day(Day("2024-01-31").AddDays(80)), answer.Due);
        Assert.Equal(61_000, answer.Governing!.ReachedAt);
    }

    [Fact]
    public void The_reading_taken_at_fitting_is_a_reading_of_the_car()
    {
        var car = Car() with { Usage = new() { Readings = [Km("2024-01-31", 53_000)] } };

        var answer = Ask(TenThousand, Part(On(EvidenceKind.Fitted, "2024-01-01", 50_000)), "2024-02-01", car);

        // One step of 3,000 km in 30 days: 7,000 km take 70 days, half of that is the early end.
        Assert.Equal(Span("2024-03-06", "2024-04-10"), answer.Due);
    }

    [Fact]
    public void A_limit_passed_between_two_readings_was_reached_between_them()
    {
        var car = Car() with { Usage = new() { Readings = [Km("2023-01-01", 60_000), Km("2024-01-01", 70_000)] } };

        var answer = Ask(TenThousand, Part(On(EvidenceKind.Fitted, "2022-01-01", 55_000)), "2024-06-01", car);

        Assert.Equal(Span("2023-07-02", "2024-01-01"), answer.Due);
        Assert.Equal((DueState.Overdue, Certainty.Certain), (answer.State, answer.Certainty));
    }

    [Fact]
    public void Without_a_fitted_day_all_distance_since_new_counts()
    {
        var answer = Ask(TenThousand, Part(), "2024-02-01", HundredADay);

        Assert.Equal(DueState.Overdue, answer.State);
    }

    [Fact]
    public void What_was_shown_at_fitting_is_taken_low_when_it_is_not_known()
    {
        // Fitted between the readings of 1 and 11 January: at the earliest at 50,000 km, at the latest at 51,000.
        var answer = Ask(TenThousand, Part(On(EvidenceKind.Fitted, "2024-01-05")), "2024-02-01", HundredADay);

        Assert.Equal(new DateSpan(Day("2024-01-31").AddDays(70), Day("2024-01-31").AddDays(80)), answer.Due);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.OdometerAtStart);
    }

    [Fact]
    public void Distance_run_on_another_car_travels_with_the_part()
    {
        var part = Part(On(EvidenceKind.Fitted, "2024-01-11", 51_000)) with
        {
            Stays = [new(Day("2020-01-01"), Day("2022-01-01"), new Distance(6_000))],
        };

        Assert.Equal(
            DateSpan.Day(Day("2024-01-31").AddDays(20)), Ask(TenThousand, part, "2024-02-01", HundredADay).Due);
    }

    [Fact]
    public void Distance_elsewhere_that_nobody_knows_is_unknown()
    {
        var part = Part(On(EvidenceKind.Fitted, "2024-01-11", 51_000)) with
        {
            Stays = [
            new(Day("2020-01-01"), Day("2022-01-01"), null)]
        };

        var answer = Ask(TenThousand, part, "2024-02-01", HundredADay);

        Assert.Equal(DueState.Unknown, answer.State);
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.EarlierDistance);
    }

    [Fact]
    public void A_declared_rate_is_a_basis_without_any_reading()
    {
        var car = Car() with { Usage = new() { DeclaredPerYear = new Distance(36_525) } };

        Assert.Equal(
            DateSpan.Day(Day("2024-04-10")),
            Ask(TenThousand, Part(On(EvidenceKind.Fitted, "2024-01-01")), "2024-02-01", car).Due);
    }

    [Fact]
    public void An_open_rollover_is_carried_as_a_span_and_asked_about()
    {
        var car = Car() with
        {
            Usage = new()
            {
                Instruments = [new() { Id = "A", Digits = 5 }],
                Readings = [Km("2000-01-01", 10_000), Km("2020-01-01", 88_000)],
            },
        };
        var kind = Kind(Limit.ByDistance(
            LimitLevel.ReplaceBy, AgeAnchor.Fitting, 100_000, DistanceUnit.Kilometre, Tag.Practice));

        var answer = Ask(kind, Part(On(EvidenceKind.Fitted, "2000-01-01", 10_000)), "2020-01-01", car);

        Assert.Equal((DueState.Overdue, Certainty.Possible), (answer.State, answer.Certainty));
        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.OpenGap);
    }

    [Fact]
    public void A_vehicles_usage_worked_out_once_gives_the_same_answer()
    {
        var part = Part(On(EvidenceKind.Fitted, "2024-01-11", 51_000));
        var question = new DueQuestion
        {
            AsOf = Day("2024-02-01"),
            Kind = TenThousand,
            Subject = part,
            Vehicle = HundredADay
        };

        var once = DueAssessment.Assess(question with { Usage = UsageModel.For(HundredADay.Usage, [part]) });

        Assert.Equal(DueAssessment.Assess(question).Due, once.Due);
    }
}
