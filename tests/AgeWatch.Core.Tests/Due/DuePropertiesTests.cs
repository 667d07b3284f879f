using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using Xunit.Sdk;

namespace AgeWatch.Core.Tests.Due;

/// <summary>What must hold whatever the facts are. Seeds are fixed; a failure names the case.</summary>
public sealed class DuePropertiesTests
{
    [Fact]
    public void A_later_day_never_improves_a_state()
    {
        var random = new Random(1);
        for (var i = 0; i < 800; i++)
        {
            var question = Prepared(RandomFacts.Question(random));
            var day = new DateOnly(1990, 1, 1);
            var before = DueAssessment.Assess(question with { AsOf = day });

            // Before it was made it is unknown, and work that is done does improve a task.
            DateOnly? from = question.Subject is ServiceTaskFacts task
                ? task.Done.Select(done => (DateOnly?)done.On).Max()
                : before.Born.Span?.First;
            if (from > day)
            {
                day = from.Value;
                before = DueAssessment.Assess(question with { AsOf = day });
            }

            while (day.Year < 2045)
            {
                day = day.AddDays(random.Next(1, 700));
                var after = DueAssessment.Assess(question with { AsOf = day });
                if (after.State > before.State || after.State == before.State && after.Certainty < before.Certainty)
                {
                    throw new XunitException($"Case {i}: {before.AsOf:O} {before.State} {before.Certainty}, {day:O} "
                        + $"{after.State} {after.Certainty}.");
                }

                before = after;
            }
        }
    }

    [Fact]
    public void The_next_change_is_exact_on_every_day_of_ten_years()
    {
        var random = new Random(2);
        for (var i = 0; i < 25; i++)
        {
            var question = Prepared(RandomFacts.Question(random));
            var from = RandomFacts.Day(random, 1995, 2030);
            var answers = Enumerable.Range(0, 3_653)
                .Select(day => DueAssessment.Assess(question with { AsOf = from.AddDays(day) }))
                .ToArray();
            DateOnly? next = null;
            for (var day = answers.Length - 1; day >= 0; day--)
            {
                if (day + 1 < answers.Length && Seen(answers[day]) != Seen(answers[day + 1]))
                {
                    next = answers[day + 1].AsOf;
                }

                var told = answers[day].NextChangeOn;
                if (next is not null ? told != next : told <= answers[^1].AsOf)
                {
                    throw new XunitException($"Case {i} on {answers[day].AsOf:O}: told {told}, seen {next}.");
                }
            }
        }

        static (DueState, Certainty, int, DeferralStanding) Seen(DueAnswer answer) =>
            (answer.State, answer.Certainty, answer.Limits.Select((limit, at) => (limit, at))
                .FirstOrDefault(one => ReferenceEquals(one.limit, answer.Governing), (null!, -1)).at,
                answer.DeferralStanding);
    }

    [Fact]
    public void An_earlier_possible_reading_never_moves_a_due_day_later()
    {
        var random = new Random(3);
        var tried = 0;
        for (var i = 0; tried < 2_000; i++)
        {
            var question = RandomFacts.Question(random);
            if (question.Subject is not ComponentFacts part
                || DueAssessment.Assess(question) is not { Born.Readings.Count: > 0 } before)
            {
                continue;
            }

            tried++;
            var earliest = before.Born.Span!.Value.First;
            var earlier = new DateSpan(earliest.AddDays(-random.Next(1, 4_000)), earliest.AddDays(random.Next(0, 300)));
            var doubted = part with { Evidence = [.. part.Evidence, Given.Mark(earlier)] };
            NotBetter(before, DueAssessment.Assess(question with { Subject = doubted }), i);
        }
    }

    [Fact]
    public void A_longer_shelf_allowance_never_moves_a_due_day_later()
    {
        var random = new Random(31);
        for (var i = 0; i < 3_000; i++)
        {
            var question = RandomFacts.Question(random);
            var longer = question.Kind with
            {
                Shelf = new()
                {
                    Value = 60 + random.Next(1, 100),
                    Tag = Tag.Practice,
                    Reference = null
                }
            };
            var before = DueAssessment.Assess(question);
            var after = DueAssessment.Assess(question with { Kind = longer });
            if (after.Born.Remote.Count <= before.Born.Remote.Count)
            {
                // With more, a reading lies within the shelf for the first time: it is nearer than all that stood
                // before.
                NotBetter(before, after, i);
            }
        }
    }

    [Fact]
    public void A_pass_taken_back_and_a_bad_finding_added_never_improve_a_state()
    {
        var random = new Random(32);
        for (var i = 0; i < 3_000; i++)
        {
            var question = RandomFacts.Question(random);
            if (question.Subject is ComponentFacts part)
            {
                // Dated before all findings, so that none of them says how old it is.
                var seen = Given.On(EvidenceKind.Document, "1980-01-01");
                question = question with { Subject = part with { Evidence = [.. part.Evidence, seen] } };
            }

            var pass = question.Subject.Findings.FirstOrDefault(finding =>
                finding is { Grade: FindingGrade.Pass, Odometer: null });
            var before = DueAssessment.Assess(question);
            if (pass is not null)
            {
                var taken = question.Subject.Findings.Where(finding => finding != pass).ToArray();

                // Without the pass something bad may stand again, and it is a look too.
                var others = question.Subject.Findings.Any(finding => finding.Grade >= FindingGrade.Fail)
                    ? WithoutLooks(before)
                    : before;
                NotBetter(
                    others,
                    DueAssessment.Assess(question with { Subject = question.Subject with { Findings = taken } }), i);
            }

            var bad = new Finding
            {
                On = RandomFacts.Day(random, 2000, 2028),
                Grade = random.Next(2) == 0
                ? FindingGrade.Fail
                : FindingGrade.Unfit
            };
            var worse = DueAssessment.Assess(question with
            {
                Subject = question.Subject with
                {
                    Findings = [
                .. question.Subject.Findings, bad]
                }
            });
            NotBetter(WithoutLooks(before), worse, i, stateToo: false);
        }

        static DueAnswer WithoutLooks(DueAnswer answer) =>
            answer with { Limits = [.. answer.Limits.Where(limit => limit.Level != LimitLevel.InspectFrom)] };
    }

    /// <summary>Without evidence there is the presumption, without a built date nothing: neither may look better than
    /// what is left.</summary>
    [Fact]
    public void Facts_that_are_removed_leave_the_presumption_and_then_the_unknown()
    {
        var random = new Random(33);
        for (var i = 0; i < 3_000; i++)
        {
            var question = RandomFacts.Question(random) with { KnownOn = null };
            if (question.Subject is not ComponentFacts part)
            {
                continue;
            }

            var bare = part with { Evidence = [], Stays = [], Findings = [] };
            var presumed = DueAssessment.Assess(question with { Subject = bare });
            Assert.Equal(question.Vehicle.Built, presumed.Born.Span);
            var stripped = question.Vehicle with { Built = null, RegisteredOn = null, Happenings = [] };
            var unknown = DueAssessment.Assess(question with { Subject = bare, Vehicle = stripped });
            if (unknown.Limits.Any(limit =>
                limit is { Standing: LimitStanding.Counts or LimitStanding.NoBasis, Measure: LimitMeasure.Age }))
            {
                var isPrinted = unknown.Limits.Any(limit => limit.Measure == LimitMeasure.PrintedDay);
                Assert.True(
                    unknown.State <= (isPrinted ? DueState.InspectDue : DueState.Unknown),
                    $"Case {i}: {unknown.State} from nothing.");
            }

            var unread = question with
            {
                Vehicle = question.Vehicle with
                {
                    Usage = UsageFacts.None,
                    HoursReadings = []
                },
                Subject = bare
            };
            var blind = DueAssessment.Assess(unread);
            if (blind.Limits.Any(limit =>
                limit is { Standing: not LimitStanding.Beaten, Measure: LimitMeasure.Distance or LimitMeasure.Hours }))
            {
                // Where only the look goes by distance, it may be due; the life is known without it.
                Assert.True(blind.State <= DueState.InspectDue, $"Case {i}: {blind.State} without an odometer.");
            }
        }
    }

    /// <summary>Heat only shortens; and a figure that is not the vehicle's own can end ignorance, never put off what is
    /// known without it.</summary>
    [Fact]
    public void Heat_and_the_clubs_figure_never_make_it_look_better()
    {
        var random = new Random(44);
        var (worse, told) = (0, 0);
        for (var i = 0; i < 3_000; i++)
        {
            var question = RandomFacts.Question(random);
            var vehicle = question.Vehicle;
            var plain = DueAssessment.Assess(question with { Vehicle = vehicle with { Exposure = null } });
            var warm = DueAssessment.Assess(
                question with { Vehicle = vehicle with { Exposure = RandomFacts.Exposure(random) } });
            if (warm.State > plain.State || warm.State == plain.State && warm.Certainty < plain.Certainty)
            {
                throw new XunitException(
                    $"Case {i}: {plain.State} {plain.Certainty}, with its heat {warm.State} {warm.Certainty}.");
            }

            worse += warm.State < plain.State ? 1 : 0;
            var usage = vehicle.Usage with { DeclaredPerYear = null };
            var without = DueAssessment.Assess(question with { Vehicle = vehicle with { Usage = usage } });
            var with =
                DueAssessment.Assess(question with
                {
                    Vehicle = vehicle with
                    {
                        Usage = usage with
                        {
                            FleetPerYear = new(
                    random.Next(100, 40_000))
                        }
                    }
                });
            // Distance driven unseen is bounded by the club's figure where nothing else bounds it but the plain cap.
            if (with.Usage?.Distance.MostPerDay < without.Usage?.Distance.MostPerDay)
            {
                continue;
            }

            told += without.State == DueState.Unknown && with.State > DueState.Unknown ? 1 : 0;
            if (without is not ({ State: DueState.Unknown } or { Governing.Standing: LimitStanding.NoBasis })
                && with.State > without.State)
            {
                throw new XunitException($"Case {i}: {without.State}, with the club's figure {with.State}.");
            }

            foreach (var (mine, theirs) in without.Limits.Zip(with.Limits)
                .Where(pair => pair.First.Limit == pair.Second.Limit && pair.First.Measure == pair.Second.Measure))
            {
                Assert.False(
                    theirs.Due?.First > mine.Due?.First, $"Case {i}: {mine.Sentence} became {theirs.Sentence}");
                Assert.False(mine.Due is not null
                    && theirs.Due is null, $"Case {i}: {mine.Sentence} became {theirs.Sentence}");
            }
        }

        Assert.True(worse > 5 && told > 5, $"{worse} {told}");
    }

    /// <summary>An independent, deliberately naive evaluator over the same facts.</summary>
    [Fact]
    public void A_naive_evaluator_of_the_facts_gives_the_same_state()
    {
        var random = new Random(5);
        var seen = new int[6];
        var forces = new int[2];
        for (var i = 0; i < 6_000; i++)
        {
            var question = Plain(random);
            var answer = DueAssessment.Assess(question);
            var naive = NaiveEvaluator.State(question);
            seen[(int)answer.State]++;
            if (naive != (answer.State, answer.Certainty))
            {
                throw new XunitException($"Case {i} on {question.AsOf:O}: {answer.State} {answer.Certainty}, naively "
                    + $"{naive}.\n{string.Join('\n', answer.Reasons)}");
            }

            if (answer.State <= DueState.Overdue)
            {
                var force = NaiveEvaluator.ForceOfOverdue(question);
                forces[(int)force]++;
                Assert.True(
                    force == answer.Force,
                    $"Case {i}: {answer.Force}, naively {force}.\n{string.Join('\n', answer.Reasons)}");
            }
        }

        Assert.All(forces, count => Assert.True(count > 100));
        Assert.All(seen, count => Assert.True(count > 5));
    }

    /// <summary>The state follows from the limits that the explanation shows, and from nothing else.</summary>
    [Fact]
    public void The_explanation_alone_gives_the_same_state()
    {
        var random = new Random(6);
        for (var i = 0; i < 10_000; i++)
        {
            var question = RandomFacts.Question(random);
            var answer = DueAssessment.Assess(question);
            var counting = answer.Limits.Where(limit => limit.Standing == LimitStanding.Counts).ToArray();
            var reached = counting.Where(limit => limit.Due!.Value.First <= question.AsOf).ToArray();
            var untold = answer.Limits.Where(limit => limit.Standing == LimitStanding.NoBasis).ToArray();
            var isLifeKnown = answer.Limits.Any(limit => limit.Level != LimitLevel.InspectFrom
                && limit.Measure != LimitMeasure.Condition
                && limit.Standing is LimitStanding.Counts or LimitStanding.Never);
            var onlyLook = untold.Length > 0 && isLifeKnown
                && untold.All(limit => limit.Level == LimitLevel.InspectFrom);
            var open = untold.Length > 0 && !onlyLook
                || answer.Limits.All(limit => limit.Standing is LimitStanding.Beaten or LimitStanding.Met
                    // A look because of heat.
                    || limit is { Measure: LimitMeasure.Condition, Level: LimitLevel.InspectFrom });
            var expected =
                question.Subject is ComponentFacts && answer.Born.Span?.First > question.AsOf ? DueState.Unknown
                : reached.Any(limit => limit.Level == LimitLevel.StopUse) ? DueState.StopUse
                : reached.Any(limit => limit.Level == LimitLevel.ReplaceBy) ? DueState.Overdue
                : open ? DueState.Unknown
                : reached.Length > 0 || onlyLook ? DueState.InspectDue
                : counting.Any(limit =>
                    limit.Due!.Value.First <= question.AsOf.AddDays(question.WarningDays)) ? DueState.DueSoon
                : DueState.InLife;
            Assert.True(expected == answer.State, $"Case {i}: {answer.State}, from the explanation {expected}.");
        }
    }

    /// <summary>The struct that the night run uses is the full answer without its explanation.</summary>
    [Fact]
    public void The_bare_check_equals_the_full_answer()
    {
        var random = new Random(7);
        for (var i = 0; i < 5_000; i++)
        {
            var born = RandomFacts.Span(random);
            var (level, months, rule) = ((LimitLevel)random.Next(3), random.Next(1, 200), (EndRule)random.Next(3));
            var question = new DueQuestion
            {
                AsOf = RandomFacts.Day(random, 1995, 2045),
                WarningDays = random.Next(200),
                Kind = Given.Kind(Limit.Age(level, AgeAnchor.Manufacture, months, Tag.Practice, endRule: rule)),
                Subject = Given.Part(Given.Mark(born)),
            };

            var full = DueAssessment.Assess(question);
            var bare = DueCheck.AgeLimit(born, months, rule, level, question.AsOf, question.WarningDays);

            Assert.Equal(
                (full.State, full.Certainty, full.NextChangeOn), (bare.State, bare.Certainty, bare.NextChangeOn));
        }
    }

    private static void NotBetter(DueAnswer before, DueAnswer after, int i, bool stateToo = true)
    {
        if (stateToo && after.State > before.State && !GainedADay(before, after))
        {
            throw new XunitException($"Case {i}: {before.State} became "
                + $"{after.State}.\n{string.Join('\n', before.Reasons)}\n---\n{string.Join('\n', after.Reasons)}");
        }

        foreach (var level in Enum.GetValues<LimitLevel>())
        {
            if (First(after, level) > First(before, level)
                && !after.Limits.Any(limit => limit.Level == level && limit.Standing == LimitStanding.NoBasis))
            {
                throw new XunitException($"Case {i}: {level} moved "
                    + $"later.\n{string.Join('\n', before.Reasons)}\n---\n{string.Join('\n', after.Reasons)}");
            }
        }

        static DateOnly First(DueAnswer answer, LimitLevel level) =>
            answer.Limits.Where(limit => limit.Standing == LimitStanding.Counts && limit.Level == level)
                .Select(limit => limit.Due!.Value.First).DefaultIfEmpty(DateOnly.MaxValue).Min();
    }

    /// <summary>
    /// Unknown for want of a day, and the change gave one: with a longer life on record hours or kilometres now cross
    /// the limit, or what nothing limited is now to be looked at again. That is knowledge, not a better state.
    /// </summary>
    private static bool GainedADay(DueAnswer before, DueAnswer after) =>
        before.State == DueState.Unknown
        && (before.Limits.All(limit => limit.Standing is LimitStanding.Beaten or LimitStanding.Met)
            ? after.Limits.Any(limit => limit.Standing == LimitStanding.Counts)
            : after.Limits.All(limit =>
                limit.Standing != LimitStanding.NoBasis || limit.Level == LimitLevel.InspectFrom));

    private static DueQuestion Prepared(DueQuestion question) =>
        question with
        {
            Usage = UsageModel.For(
                question.Vehicle.Usage, [question.Subject], question.KnownOn, question.Alpha)
        };

    /// <summary>Facts within the reach of the naive evaluator.</summary>
    private static DueQuestion Plain(Random random)
    {
        var part = RandomFacts.Component(random);
        return RandomFacts.Question(random) with
        {
            KnownOn = null,
            Kind = RandomFacts.Kind(random) with
            {
                Key = "random-kind",
                Clock = AgeAnchor.Manufacture,
                Limits = Limits(),
                InspectEvery = null,
                WarningMonths = null,
                StorageLimit = null,
                EndedBy = [],
            },
            Vehicle = new() { Built = random.Next(4) == 0 ? null : DateSpan.Year(random.Next(1980, 2025)) },
            Subject = part with
            {
                Evidence = [.. part.Evidence
                    .Where(evidence => evidence.Kind is EvidenceKind.Mark or EvidenceKind.Plate or EvidenceKind.Document
                        or EvidenceKind.Fitted)
                    .Select(evidence => evidence with { Odometer = null,
                    Readings = [.. evidence.Readings.Where(reading => !reading.IsExpiry)] })],
                Findings = [.. part.Findings.Select(finding => finding with { Odometer = null })],
                OwnLimits = Limits(),
                Stays = [],
                Deferral = null,
            },
        };

        Limit[] Limits() => [.. Enumerable.Range(0, random.Next(4)).Select(_ => RandomFacts.Limit(random))
            .Where(limit => limit is { Distance: null, Hours: null })
            .Select(limit => limit with { From = random.Next(3) == 0
                ? AgeAnchor.Fitting
                : AgeAnchor.Manufacture, Repeats = false })];
    }
}
