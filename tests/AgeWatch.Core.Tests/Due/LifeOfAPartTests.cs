using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using Xunit.Sdk;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>The life of a part is its stays: what it saw in each goes with it. Counted by hand.</summary>
public sealed class LifeOfAPartTests
{
    private static readonly DateSpan Built = Span("1985-01-01", "1985-12-31");

    private static readonly VehicleFacts Old = Car("1985-01-01", "1985-12-31");

    private static readonly KindRules Belt =
        Kind(Limit.ByDistance(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 100_000, DistanceUnit.Mile, Tag.Practice));

    /// <summary>On the car since nobody knows when, off and on again on one day: the day says only that it was
    /// there.</summary>
    [Fact]
    public void Off_and_on_on_one_day_leaves_an_undated_part_as_old_as_its_car()
    {
        var part = Part(On(EvidenceKind.Fitted, "2026-04-01")) with
        {
            Stays =
            [
                new(null, Day("2026-04-01"), null, VehicleBuilt: Built, OnThisVehicle: true),
                new(Day("2026-04-01"), null, null, VehicleBuilt: Built, OnThisVehicle: true),
            ],
        };

        var born = Ask(BrakeHose, part, "2026-11-25", Old).Born;

        Assert.Equal((Built, EvidenceKind.Presumption), (born.Span, born.Basis));
    }

    /// <summary>10,000 mi when it was fitted, a new odometer in 2015, 90,000 on the old one then; off and on at 6,000
    /// of the new one: 86,000 covered, 14,000 left.</summary>
    [Fact]
    public void A_change_of_odometer_forgets_nothing_that_the_part_ran()
    {
        var usage = new UsageFacts
        {
            Instruments =
            [
                new() { Id = "old", Unit = DistanceUnit.Mile, RemovedOn = Day("2015-01-01") },
                new() { Id = "new", Unit = DistanceUnit.Mile, FittedOn = Day("2015-01-01") },
            ],
            Readings = [Miles("2015-01-01", 90_000, "old"), Miles("2015-01-01", 0, "new")],
        };
        var part = Part(new Evidence
        {
            Kind = EvidenceKind.Fitted,
            On = Day("2018-01-01"),
            Odometer = Miles("2018-01-01", 6_000, "new"),
        }) with
        {
            Stays =
            [
                new(Day("2000-01-01"), Day("2018-01-01"), null, VehicleBuilt: Built, OnThisVehicle: true)
                {
                    ShownFirst = Miles("2000-01-01", 10_000, "old"), ShownLast = Miles("2018-01-01", 6_000, "new")
                },
                new(Day("2018-01-01"), null, null, VehicleBuilt: Built, OnThisVehicle: true)
                {
                    ShownFirst = Miles("2018-01-01", 6_000, "new")
                },
            ],
        };

        var answer = Ask(Belt, part, "2018-02-01", Old with { Usage = usage });

        Assert.Equal(14_000, Math.Round(new Distance(answer.Limits[0].Left!.Value.Least).Miles));
        Assert.Equal(14_000, Math.Round(new Distance(answer.Limits[0].Left!.Value.Most).Miles));
        Assert.Equal(86_000, Math.Round(new Distance(LifeStatus.Of(answer).Covered!.Value.Most).Miles));
    }

    /// <summary>40,000 mi on another car by its own odometer, and since nobody knows when: anything up to all that car
    /// ran, 70,000.</summary>
    [Theory]
    [InlineData("2010-01-01", 40_000, 40_000)]
    [InlineData(null, 0, 70_000)]
    public void What_it_ran_on_another_car_is_told_by_that_cars_odometer(string? from, int least, int most)
    {
        var donor = UsageModel.Of(new()
        {
            Readings = [Miles("2010-01-01", 30_000), Miles("2020-01-01", 70_000)]
        });
        var part = Part(On(EvidenceKind.Fitted, "2021-01-01")) with
        {
            Stays =
            [
                new(from is null ? null : Day(from), Day("2020-01-01"), null, VehicleBuilt: Built)
                {
                    Usage = donor, ShownLast = Miles("2020-01-01", 70_000)
                },
                new(Day("2021-01-01"), null, null, VehicleBuilt: Built, OnThisVehicle: true)
                {
                    ShownFirst = Miles("2021-01-01", 5_000)
                },
            ],
        };
        var usage = new UsageFacts { Readings = [Miles("2021-01-01", 5_000), Miles("2022-01-01", 15_000)] };

        var left = Ask(Belt, part, "2022-02-01", Old with { Usage = usage }).Limits[0].Left!.Value;

        Assert.Equal(
            (100_000 - 10_000 - most, 100_000 - 10_000 - least),
            ((int)Math.Round(new Distance(left.Least).Miles), (int)Math.Round(new Distance(left.Most).Miles)));
    }

    /// <summary>Ten years at 35 °C count more than ten years; on a cool car afterwards they still do.</summary>
    [Fact]
    public void Heat_goes_with_the_part()
    {
        var hot = new ExposureFacts
        {
            Segments = [new(Day("2010-01-01"), DateOnly.MaxValue, 28)],
            ActivationEnergy = 0.6,
            Source = "test",
        };
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 240, Tag.Practice));
        var made = Mark(DateSpan.Day(Day("2010-01-01")));
        var stayed = Ask(kind, Part(made), "2020-06-01", Old with { Exposure = hot }).Due!.Value.First;
        var moved = Ask(
            kind,
            Part(made, On(EvidenceKind.Fitted, "2020-01-01")) with
            {
                Stays =
                [
                    new(Day("2010-01-01"), Day("2020-01-01"), null, VehicleBuilt: Built) { Exposure = hot },
                    new(Day("2020-01-01"), null, null, VehicleBuilt: Built, OnThisVehicle: true),
                ],
            },
            "2020-06-01", Old).Due!.Value.First;
        var cool = Ask(kind, Part(made), "2020-06-01", Old).Due!.Value.First;

        Assert.True(stayed < moved && moved < cool, $"{stayed:O} {moved:O} {cool:O}");

        // exp(0.6/8.617e-5 (1/293.15 - 1/301.15)) = 1.8795: ten years count 18.79, 1.2 are left.
        Assert.InRange(moved, Day("2021-02-01"), Day("2021-05-01"));
    }

    [Fact]
    public void What_was_made_in_2020_was_not_in_life_in_2010()
    {
        var answer = Ask(BrakeHose, Part(Mark(Span("2020-06-01", "2020-06-30"))), "2010-01-01");

        Assert.Equal((DueState.Unknown, null), (answer.State, answer.Due));
        Assert.Equal(Day("2020-06-01"), answer.NextChangeOn);
        Assert.Contains(answer.Reasons, reason => reason.Contains("it did not exist"));
    }

    /// <summary>A fluid changed in 2025 was, in 2010, as old as the car for all that is known.</summary>
    [Fact]
    public void What_was_done_later_had_not_been_done()
    {
        var task = new ServiceTaskFacts { Done = [new() { On = Day("2025-05-01") }] };
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fill, 24, Tag.Practice));

        var then = Ask(kind, task, "2010-01-01");

        Assert.Equal((DueState.Overdue, Day("2025-05-01")), (then.State, then.NextChangeOn));
        Assert.Equal(DueState.InLife, Ask(kind, task, "2025-05-01").State);
    }

    [Theory]
    [InlineData(EvidenceKind.Service)]
    [InlineData(EvidenceKind.Fill)]
    [InlineData(EvidenceKind.Regulatory)]
    [InlineData(EvidenceKind.Document)]
    [InlineData(EvidenceKind.Fitted)]
    public void A_mark_later_than_a_dated_fact_is_a_contradiction_shown_and_asked(EvidenceKind kind) =>
        Contradicts(Part(Mark(Span("2020-06-01", "2020-06-30")), On(kind, "2012-03-01")));

    [Fact]
    public void A_mark_later_than_a_finding_is_a_contradiction_shown_and_asked() =>
        Contradicts(Part(Mark(Span("2020-06-01", "2020-06-30"))) with
        {
            Findings = [new() { On = Day("2012-03-01"), Grade = FindingGrade.Pass }]
        });

    [Fact]
    public void A_finding_before_the_fitting_bounds_when_it_was_made() =>
        Assert.Equal(
            Span("2007-03-01", "2012-03-01"),
            Ask(
                BrakeHose,
                Part(On(EvidenceKind.Fitted, "2015-03-01")) with
                {
                    Findings = [new() { On = Day("2012-03-01"), Grade = FindingGrade.Pass }]
                },
                "2026-11-25").Born.Span);

    /// <summary>Of any history: no reading is kept that starts after a dated fact of the part.</summary>
    [Fact]
    public void Over_random_histories_nothing_is_made_after_it_was_seen()
    {
        var random = new Random(413);
        for (var i = 0; i < 10_000; i++)
        {
            var question = RandomFacts.Question(random);
            if (question.Subject is not ComponentFacts part)
            {
                continue;
            }

            var answer = DueAssessment.Assess(question);
            var seen = part.Evidence.Where(evidence => evidence.On is not null).Select(evidence => evidence.On!.Value)
                .Concat(part.Findings.Select(finding => finding.On)).Where(on => !(on > question.KnownOn))
                .Concat(part.Stays.Select(stay => stay.From ?? stay.Until!.Value))
                .DefaultIfEmpty(DateOnly.MaxValue).Min();
            if (answer.Born is { Basis: not EvidenceKind.Presumption, Span: { } born } && born.First > seen)
            {
                throw new XunitException($"Case {i}: born {born}, seen {seen:O}.");
            }
        }
    }

    /// <summary>Of any history on one car: taken off and put back on one day, with the same odometer, changes
    /// nothing.</summary>
    [Fact]
    public void Over_random_histories_off_and_on_changes_nothing()
    {
        var random = new Random(414);
        for (var i = 0; i < 10_000; i++)
        {
            var from = random.Next(2) == 0 ? (DateOnly?)null : RandomFacts.Day(random, 1990, 2015);
            var on = RandomFacts.Day(random, 2016, 2024);
            var shown = Km($"{on:yyyy-MM-dd}", 80_000);
            var first = from is { } day ? Km($"{day:yyyy-MM-dd}", 30_000) : null;
            var vehicle = RandomFacts.Vehicle(random) with
            {
                Built = DateSpan.Year(1985),
                Usage = new() { Readings = [shown, Km("2024-06-01", 84_000), Km("2025-06-01", 90_000)] }
            };
            Stay whole = new(from, null, null, VehicleBuilt: vehicle.Built, OnThisVehicle: true)
            {
                ShownFirst = first
            };
            var fitted = new Evidence { Kind = EvidenceKind.Fitted, On = from, Odometer = first };
            var again = new Evidence { Kind = EvidenceKind.Fitted, On = on, Odometer = shown };
            var question = new DueQuestion
            {
                AsOf = RandomFacts.Day(random, 2024, 2040),
                Kind = RandomFacts.Kind(random) with
                {
                    StorageLimit = null,
                    Limits = [Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, random.Next(12, 300), Tag.Practice),
                        Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fitting, random.Next(12, 300), Tag.Practice),
                        Limit.ByDistance(
                            LimitLevel.StopUse, AgeAnchor.Fitting, random.Next(20_000, 200_000),
                            DistanceUnit.Kilometre, Tag.Practice)],
                    InspectEvery = null,
                },
                Vehicle = vehicle,
                Subject = Part(from is null ? [] : [fitted]) with { Stays = [whole] },
            };
            var split = question with
            {
                Subject = Part(again) with
                {
                    Stays = [whole with { Until = on, ShownLast = shown }, whole with { From = on, ShownFirst = shown }]
                }
            };

            var (one, two) = (DueAssessment.Assess(question), DueAssessment.Assess(split));

            if (one.Born.Span != two.Born.Span || one.State != two.State)
            {
                throw new XunitException($"Case {i}: {one.Born.Span} {one.State} became {two.Born.Span} {two.State}.\n"
                    + $"{string.Join('\n', one.Reasons)}\n---\n{string.Join('\n', two.Reasons)}");
            }
        }
    }

    /// <summary>What still stands is known to stand until today, whatever day ahead is asked about; heat that begins
    /// later has not begun.</summary>
    [Fact]
    public void A_day_ahead_is_no_fact()
    {
        var car = Old with
        {
            Usage = new()
            {
                Readings = [Km("2025-01-01", 50_000)],
                DeclaredPerYear = new(36_525),
                Standing = [new(Day("2025-01-01"), null)],
            },
            Exposure = new()
            {
                Segments = [new(Day("2027-01-01"), DateOnly.MaxValue, 28)],
                ActivationEnergy = 0.6,
                Source = "test",
            },
        };
        var part = Part(
            Mark(DateSpan.Day(Day("2025-01-01"))),
            new Evidence { Kind = EvidenceKind.Fitted, On = Day("2025-01-01"), Odometer = Km("2025-01-01", 50_000) });
        var question = new DueQuestion
        {
            AsOf = Day("2030-01-01"),
            KnownOn = Day("2030-01-01"),
            Today = Day("2026-01-01"),
            Kind = Kind(
                Limit.ByDistance(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 1_000, DistanceUnit.Kilometre, Tag.Practice),
                Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Practice)),
            Subject = part,
            Vehicle = car,
        };

        var limits = DueAssessment.Assess(question).Limits;

        Assert.Equal(Day("2026-01-11"), limits[0].Due!.Value.First);
        Assert.Equal(DateSpan.Day(Day("2035-01-01")), limits[1].Due);
    }

    /// <summary>60,000 km are 37,282 mi; the odometer of the car counts in miles.</summary>
    [Fact]
    public void Sentences_speak_in_the_unit_of_the_car()
    {
        var kind = Kind(Limit.ByDistance(
            LimitLevel.ReplaceBy, AgeAnchor.Fitting, 60_000, DistanceUnit.Kilometre, Tag.Practice));
        var part = Part(new Evidence
        {
            Kind = EvidenceKind.Fitted,
            On = Day("2025-01-01"),
            Odometer = Miles("2025-01-01", 10_000)
        });
        var car = Old with { DistanceUnit = DistanceUnit.Mile, Usage = new() { DeclaredPerYear = new(5_000) } };

        Assert.Contains(
            Ask(kind, part, "2026-01-01", car).Reasons,
            reason => reason.Contains("60,000 km (37,282 mi)") && reason.Contains("at 47,282 mi on the odometer"));
    }

    private static void Contradicts(ComponentFacts part)
    {
        var answer = Ask(BrakeHose, part, "2026-11-25");

        Assert.True(answer.Born.Span!.Value.First <= Day("2012-03-01"), $"{answer.Born.Span}");
        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.EvidenceDisagrees);
        Assert.Contains(
            answer.Open, ask => ask.Code == DueAskCode.MarkOrFact && ask.Sentence.Contains("2012-03-01"));
    }
}
