using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using Xunit.Sdk;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>The explanation in sentences: every number in them can be checked by hand against the facts of the
/// test.</summary>
public sealed class SentencesTests
{
    /// <summary>The brake hose of the calculator's example: 10/1/96 is 1 October 1996 (49 CFR 571.106
    /// S5.2.2).</summary>
    [Fact]
    public void A_brake_hose_is_explained_from_its_mark()
    {
        var kind = PartCatalogue.BuiltIn.Find("brake-hose-flexible")!;
        var mark = MarkReader.Read(MarkEvidence.Question(
            "10/1/96", "fmvss106-hose", Day("2024-05-01"), kind, Car(), original: false, knownOn: null));
        var part = new ComponentFacts
        {
            Evidence =
            [
                new Evidence
                {
                    Kind = EvidenceKind.Mark,
                    On = Day("2024-05-01"),
                    Text = "10/1/96",
                    NotedBy = "owner",
                }.Read(mark, "fmvss106-hose"),
                On(EvidenceKind.Fitted, "2019-04-02"),
            ],
            Findings = [new() { On = Day("2025-06-01"), Grade = FindingGrade.Watch, Sign = "surface cracks" }],
            OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Maker)],
        };

        var answer = Ask(KindRules.From(kind, PartCatalogue.BuiltIn), part, "2026-11-25");

        Assert.Equal(
            [
                "On 2026-11-25 it is overdue, for certain; it rests on: Replace 120 months from manufacture (maker's "
                    + "figure), due 2006-10-01.",
                "The mark \"10/1/96\" says it was made 1996-10-01 (fmvss106-hose), noted by owner.",
                "Inspect 24 months from manufacture (common practice, no source), due 1998-10-01; an inspection has "
                    + "answered it.",
                "Replace 72 months from manufacture (common practice, no source), due 2002-10-01; it does not count, "
                    + "for maker's figure takes precedence.",
                "Replace 120 months from manufacture (maker's figure), due 2006-10-01.",
                "Inspect 6 months from the last inspection (common practice, no source), due 2025-12-01.",
                "Take note: the shorter number (common practice, no source) does not count only because a number of "
                    + "higher precedence stands beside it.",
                "The vehicle maker's figures, local law and a licensed person's inspection come before this answer.",
            ],
            answer.Reasons);
        Assert.Empty(answer.Questions);
    }

    [Fact]
    public void A_part_of_unknown_age_is_explained_by_the_presumption_and_asked_about()
    {
        var answer = Ask(BrakeHose, Part(), "2026-11-25");

        Assert.Contains(
            "Nothing proves that it is younger: it is taken to be as old as the vehicle, built 1987-05-01 to "
                + "1987-05-31.",
            answer.Reasons);
        Assert.Contains("What does the date mark on the part say? It decides more than any paper.", answer.Questions);
    }

    [Fact]
    public void Two_readings_are_named_and_asked_about()
    {
        var answer = Ask(
            BrakeHose, Part(Mark(DateSpan.Month(2014, 3), DateSpan.Month(2024, 3)) with { Text = "3/4" }),
            "2026-11-25");

        Assert.Contains(
            "The mark \"3/4\" can mean 2014-03-01 to 2014-03-31 or 2024-03-01 to 2024-03-31; the earliest counts.",
            answer.Reasons);
        Assert.Contains(
            "Which reading of the mark is right? It decides between 2014-03-01 to 2014-03-31 and 2024-03-01 to "
                + "2024-03-31.",
            answer.Questions);
    }

    [Fact]
    public void A_fitted_day_is_explained_with_its_shelf_allowance()
    {
        var answer = Ask(BrakeHose, Part(On(EvidenceKind.Fitted, "2019-04-02")), "2020-01-01");

        Assert.Contains(
            "No mark is read; it was fitted on 2019-04-02, so it was made 2014-04-02 to 2019-04-02: up to 60 months "
                + "on the shelf (common practice, no source).",
            answer.Reasons);
    }

    [Fact]
    public void A_distance_limit_names_odometer_rate_and_days()
    {
        var car = Car() with
        {
            DistanceUnit = DistanceUnit.Mile,
            Usage = new() { Readings = [Km("2024-01-01", 50_000), Km("2024-01-11", 51_000), Km("2024-01-31", 53_000)] },
        };

        var answer = Ask(TimingBelt, Part(On(EvidenceKind.Fitted, "2024-01-11", 51_000)), "2024-02-01", car);

        Assert.Contains(
            "Replace 60,000 km (37,282 mi) from fitting (common practice, no source), due 2025-09-02, likely "
                + "2025-09-02, at 68,972 mi on the odometer.",
            answer.Reasons);
        Assert.Contains(
            "By 2 steps between readings it does 22,696 mi a year; in simulation the early day came too late in "
                + "about 5 of 100 cases with even use, "
            + "7 where a year's use varies by a fifth, 9 where by half.",
            answer.Reasons);
    }

    /// <summary>The shares of the simulation hold for alpha 0.05; another alpha must not borrow them.</summary>
    [Fact]
    public void Another_alpha_promises_only_its_own_chance()
    {
        var car = Car() with
        {
            Usage = new()
            {
                Readings = [
            Km("2024-01-01", 50_000), Km("2024-01-11", 51_000), Km("2024-01-31", 53_000)]
            }
        };

        var answer = DueAssessment.Assess(new()
        {
            AsOf = Day("2024-02-01"),
            Kind = TimingBelt,
            Subject = Part(On(EvidenceKind.Fitted, "2024-01-11", 51_000)),
            Vehicle = car,
            Alpha = 0.1,
        });

        Assert.Contains(answer.Reasons, reason => reason.EndsWith(
            "the early day is meant to come too late in 10 of 100 cases with even use, and does so more often with "
                + "uneven use.",
            StringComparison.Ordinal));
        Assert.DoesNotContain(answer.Reasons, reason => reason.Contains("simulation", StringComparison.Ordinal));
    }

    [Fact]
    public void No_sentence_and_no_question_is_ever_empty_or_unfinished()
    {
        var random = new Random(4);
        for (var i = 0; i < 2_000; i++)
        {
            var answer = DueAssessment.Assess(RandomFacts.Question(random));
            foreach (var sentence in answer.Reasons.Concat(answer.Questions))
            {
                if (sentence.Length < 10
                    || sentence.Contains("  ")
                    || sentence.Contains(" .")
                    || sentence.Contains("..")
                    || sentence[^1] is not ('.' or '?'))
                {
                    throw new XunitException(sentence);
                }
            }
        }
    }
}
