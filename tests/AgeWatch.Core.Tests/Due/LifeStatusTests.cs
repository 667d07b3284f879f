using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>What a status list says beside the state. Every figure can be counted by hand from the facts.</summary>
public sealed class LifeStatusTests
{
    private static readonly VehicleFacts HundredADay = Car() with
    {
        Usage = new() { Readings = [Km("2024-01-01", 50_000), Km("2024-01-11", 51_000), Km("2024-01-31", 53_000)] },
    };

    /// <summary>Fitted at 51,000 km, read at 53,000 km: 2,000 km run and 58,000 of 60,000 km left. 60 months from
    /// 2024-01-11 end on 2029-01-11.</summary>
    [Fact]
    public void It_says_what_is_left_by_each_clock()
    {
        var answer = Ask(TimingBelt, Part(On(EvidenceKind.Fitted, "2024-01-11", 51_000)), "2024-02-01", HundredADay);
        var status = LifeStatus.Of(answer);

        Assert.Equal(new MovingAmount(2_000, 2_000, Day("2024-01-31")), status.Covered);
        Assert.Equal(
            new MovingAmount(58_000, 58_000, Day("2024-01-31")), answer.Limits.Single(l => l.Unit == "km").Left);
        var age = answer.Limits.Single(l => l is { Unit: "months", Level: LimitLevel.ReplaceBy });
        Assert.Equal(Day("2029-01-11")
            .DayNumber - Day("2024-02-01")
            .DayNumber, LifeStatus.Left(answer, age)!.Value.Earliest);
        Assert.Equal(Day("2024-01-11"), status.FittedOn);
    }

    /// <summary>
    /// Made at some time in 1995. On 2005-06-15 113 months are full since 31 December 1995 (31 May 2005; the 114th ends
    /// on
    /// 30 June), and 125 since 1 January 1995 (1 June 2005).
    /// </summary>
    [Fact]
    public void An_age_keeps_both_ends_of_the_doubt()
    {
        var status = LifeStatus.Of(Ask(BrakeHose, Part(Mark(Span("1995-01-01", "1995-12-31"))), "2005-06-15"));

        Assert.Equal(new MonthsOfAge(113, 125), status.Age);
    }

    /// <summary>What was shown at the fitting is not known: at least nothing since the reading after it, at most all
    /// since the one before.</summary>
    [Fact]
    public void A_distance_keeps_both_ends_of_the_doubt()
    {
        var answer = Ask(TimingBelt, Part(On(EvidenceKind.Fitted, "2024-01-05")), "2024-02-01", HundredADay);

        Assert.Equal(new MovingAmount(2_000, 3_000, Day("2024-01-31")), LifeStatus.Of(answer).Covered);
        Assert.Equal(
            new MovingAmount(57_000, 58_000, Day("2024-01-31")), answer.Limits.Single(l => l.Unit == "km").Left);
    }

    /// <summary>9,000 km since the change with 8,000 allowed: 1,000 km over, and it says so with a minus.</summary>
    [Fact]
    public void An_overrun_is_shown_below_zero()
    {
        var task = new ServiceTaskFacts
        {
            Done = [new() { On = Day("2023-06-01"), Odometer = Km("2023-06-01", 44_000),
        DoneBy = "The garage" }]
        };
        var answer = Ask(EngineOil, task, "2024-02-01", HundredADay);
        var status = LifeStatus.Of(answer);

        Assert.Equal(-1_000, answer.Limits.Single(l => l.Unit == "km").Left!.Value.Least);
        Assert.Equal(new MovingAmount(9_000, 9_000, Day("2024-01-31")), status.Covered);
        Assert.Equal((Day("2023-06-01"), "The garage"), (status.LastDone!.On, status.LastDone.By));
        Assert.Equal(8, status.Age!.Value.Most);
    }

    [Fact]
    public void What_is_not_known_stays_empty()
    {
        var status = LifeStatus.Of(Ask(TimingBelt, Part(), "2024-02-01", VehicleFacts.Unknown));

        Assert.Equal(
            (null, null, null, null, null),
            (status.Age, status.Covered, status.FittedOn, status.LastDone, status.LastInspected));
    }

    [Fact]
    public void The_last_inspection_is_the_latest_and_of_one_day_the_worst()
    {
        var part = Part() with
        {
            Findings =
            [
                new() { On = Day("2024-01-20"), Grade = FindingGrade.Watch },
                new() { On = Day("2024-01-20"), Grade = FindingGrade.Pass },
                new() { On = Day("2023-01-20"), Grade = FindingGrade.Fail },
            ],
        };

        Assert.Equal((Day("2024-01-20"), FindingGrade.Watch), LifeStatus.Of(Ask(BrakeHose, part, "2024-02-01"))
            .LastInspected is { } seen
            ? (seen.On, seen.Grade)
            : default);
    }
}
