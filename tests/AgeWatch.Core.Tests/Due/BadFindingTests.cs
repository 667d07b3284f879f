using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>What was found bad ends by replacement, by a later pass, or, where the kind can be restored, by work. The
/// rules are our own; they follow from "never look safer than the facts".</summary>
public sealed class BadFindingTests
{
    private static readonly Evidence MadeIn2020 = Mark(DateSpan.Day(Day("2020-06-01")));

    private static readonly KindRules Discarded = BrakeHose with { IsRenewable = false };

    [Theory]
    [InlineData(EvidenceKind.Service, "2021-01-15")]
    [InlineData(EvidenceKind.Service, "2021-02-15")]
    [InlineData(EvidenceKind.Fill, "2021-01-15")]
    [InlineData(EvidenceKind.Fill, "2021-02-15")]
    public void No_work_ends_what_was_found_unfit(EvidenceKind work, string on) =>
        Assert.Equal(
            DueState.StopUse,
            Ask(BrakeHose, Found([On(work, on)], Bad(FindingGrade.Unfit)), "2021-03-01").State);

    /// <summary>A fluid found unfit on the day on which it was changed: which came first is not on record.</summary>
    [Theory]
    [InlineData("2021-01-15", DueState.StopUse)]
    [InlineData("2021-01-16", DueState.InLife)]
    public void A_fluid_is_only_replaced_on_a_later_day(string done, DueState expected)
    {
        var fluid = new ServiceTaskFacts
        {
            Done = [new() { On = Day(done) }],
            Findings = [Bad(FindingGrade.Unfit)]
        };

        Assert.Equal(
            expected,
            Ask(Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fill, 24, Tag.Practice)), fluid, "2021-03-01").State);
    }

    [Theory]
    [InlineData(FindingGrade.Unfit)]
    [InlineData(FindingGrade.Fail)]
    public void A_later_pass_ends_it_and_one_of_the_same_day_does_not(FindingGrade grade)
    {
        var bad = Bad(grade);
        var later = Found([], bad, new() { On = Day("2021-02-15"), Grade = FindingGrade.Pass });
        var same = Found([], bad, new() { On = bad.On, Grade = FindingGrade.Pass });
        var watched = Found([], bad, new() { On = Day("2021-02-15"), Grade = FindingGrade.Watch });

        Assert.Equal(DueState.InLife, Ask(BrakeHose, later, "2021-03-01").State);
        Assert.True(Ask(BrakeHose, same, "2021-03-01").State <= DueState.Overdue);
        Assert.True(Ask(BrakeHose, watched, "2021-03-01").State <= DueState.Overdue);
        Assert.Contains(
            Ask(BrakeHose, later, "2021-03-01").Reasons, reason => reason.Contains("a later look passed it"));
    }

    /// <summary>A tread below its minimum does not grow: only a tread that was measured again can be passed.</summary>
    [Fact]
    public void What_was_measured_as_failed_is_passed_only_by_measuring_again()
    {
        var kind = KindRules.From(PartCatalogue.BuiltIn.Find("tyre-road")!, PartCatalogue.BuiltIn);
        Finding Tread(string on, decimal? mm) => new()
        {
            On = Day(on),
            Grade = FindingGrade.Pass,
            Measured = mm is { } value ? new(value, "mm", "tread-depth") : null,
        };

        Assert.Equal(
            DueState.Overdue,
            Ask(kind, Found([], Tread("2021-01-15", 1), Tread("2021-02-15", null)), "2021-03-01").State);
        Assert.Equal(
            DueState.InLife,
            Ask(kind, Found([], Tread("2021-01-15", 1), Tread("2021-02-15", 5)), "2021-03-01").State);
    }

    [Theory]
    [InlineData(FindingGrade.Fail, DueState.Overdue)]
    [InlineData(FindingGrade.Watch, DueState.InspectDue)]
    public void What_is_only_ever_thrown_away_is_not_serviced_into_health(FindingGrade grade, DueState expected)
    {
        var part = Found([On(EvidenceKind.Service, "2021-02-15"), On(EvidenceKind.Fill, "2021-02-15")], Bad(grade));

        Assert.Equal(expected, Ask(Discarded, part, "2021-08-01").State);
        Assert.Equal(DueState.InLife, Ask(BrakeHose, part, "2021-08-01").State);
    }

    /// <summary>The catalogue's own words: hoses, tyres, belts and webbing are discarded; fluids are renewed by the
    /// work, and an extinguisher is overhauled.</summary>
    [Theory]
    [InlineData("brake-hose-flexible", false)]
    [InlineData("seat-belt", false)]
    [InlineData("stock-seals-nitrile", false)]
    [InlineData("extinguisher-dry-chemical", true)]
    [InlineData("brake-fluid-glycol", true)]
    public void The_catalogue_says_what_can_be_renewed(string key, bool expected) =>
        Assert.Equal(
            expected, KindRules.From(PartCatalogue.BuiltIn.Find(key)!, PartCatalogue.BuiltIn).IsRenewable);

    /// <summary>A gas tank is filled every week; its legal clock starts anew by a test only.</summary>
    [Fact]
    public void Filling_a_tank_is_no_test_of_it()
    {
        var kind = Kind(
            Limit.Age(LimitLevel.StopUse, AgeAnchor.Regulatory, 120, Tag.Law) with { Repeats = true })
            with
        { IsRenewable = false };
        var part = Part(
            MadeIn2020, On(EvidenceKind.Regulatory, "2010-05-01"), On(EvidenceKind.Fill, "2019-05-01"));

        Assert.Equal(DueState.StopUse, Ask(kind, part, "2021-03-01").State);
    }

    /// <summary>Below both minima of the tread (49 CFR 570.9, 1.5875 mm; 1.6 mm in Europe), whatever it was
    /// called.</summary>
    [Theory]
    [InlineData("profile")]
    [InlineData("Profiltiefe")]
    [InlineData(null)]
    public void A_value_below_every_threshold_of_its_unit_fails_whatever_it_was_called(string? quantity)
    {
        var kind = KindRules.From(PartCatalogue.BuiltIn.Find("tyre-road")!, PartCatalogue.BuiltIn);

        var answer = Ask(kind, Measured(1.2m, "mm", quantity), "2021-03-01");

        Assert.Equal(DueState.Overdue, answer.State);
        Assert.Equal(quantity is not null, answer.Open.Any(ask => ask.Code == DueAskCode.WhichQuantity));

        // It fails as any of them, so the name decides nothing.
        Assert.DoesNotContain(answer.Asks, ask => ask.Code == DueAskCode.WhichQuantity);
    }

    /// <summary>49 CFR 570.7: 10 mm is too much play at the tread (6.35 mm) and little at the rim (50.8 mm).</summary>
    [Fact]
    public void Of_several_quantities_one_that_fails_is_watched_and_asked()
    {
        var kind = KindRules.From(
            PartCatalogue.BuiltIn.Find("steering-free-play")!, PartCatalogue.BuiltIn) with
        { InspectEveryMonths = 12 };
        var task = new ServiceTaskFacts
        {
            Done = [new() { On = Day("2021-01-01") }],
            Findings = [new() { On = Day("2021-01-15"), Grade = FindingGrade.Pass, Measured = new(10, "mm", "play") }],
        };

        var answer = Ask(kind, task, "2021-03-01");

        Assert.Contains(answer.Asks, ask => ask.Code == DueAskCode.WhichQuantity);
        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.ThresholdNear);
        Assert.NotEqual(DueState.Overdue, answer.State);
    }

    /// <summary>A harness with "not valid after 2026" and nothing else is known to last through 2026; when to look at
    /// it is not.</summary>
    [Fact]
    public void A_look_without_a_basis_is_due_possibly_when_the_life_is_known()
    {
        var kind = KindRules.From(PartCatalogue.BuiltIn.Find("race-harness-fia")!, PartCatalogue.BuiltIn);
        var harness = Part(Expiry("2026-01-01", "2026-12-31"));

        var answer = Ask(kind, harness, "2026-03-01", Car(null));

        Assert.Equal((DueState.InspectDue, Certainty.Possible), (answer.State, answer.Certainty));
        Assert.Null(answer.Due);
        Assert.Equal(DueState.StopUse, Ask(kind, harness, "2027-01-01", Car(null)).State);
    }

    [Fact]
    public void A_look_without_a_basis_leaves_a_life_unknown_that_is_unknown()
    {
        var answer = Ask(BrakeHose, Part(), "2026-03-01", Car(null));

        Assert.Equal((DueState.Unknown, null), (answer.State, answer.Due));
    }

    /// <summary>Of two replace-by limits one cannot be told: the day of the other governs nothing.</summary>
    [Fact]
    public void What_is_unknown_shows_no_day_of_a_limit_that_does_not_govern()
    {
        var part = Part(On(EvidenceKind.Fitted, "2024-05-01"));

        var answer = Ask(TimingBelt, part, "2026-03-01");

        Assert.Equal((DueState.Unknown, LimitMeasure.Distance), (answer.State, answer.Governing!.Measure));
        Assert.Null(answer.Due);
    }

    /// <summary>Of any facts: an unfit finding is over only when a later pass is on record, or, of a task, later
    /// work.</summary>
    [Fact]
    public void Over_random_histories_unfit_stays_until_a_later_pass()
    {
        var random = new Random(411);
        var held = 0;
        for (var i = 0; i < 10_000; i++)
        {
            var question = RandomFacts.Question(random) with { KnownOn = null, AsOf = Day("2035-01-01") };
            var unfit = question.Subject.Findings.Where(finding => finding.Grade == FindingGrade.Unfit).ToArray();
            var stays = unfit.Any(bad =>
                !question.Subject.Findings.Any(later => later.Grade == FindingGrade.Pass && later.On > bad.On)
                && !(question.Subject is ServiceTaskFacts task && task.Done.Any(done => done.On > bad.On)));
            if (stays)
            {
                held++;
                Assert.True(DueAssessment.Assess(question).State == DueState.StopUse, $"Case {i}");
            }
        }

        Assert.True(held > 100, $"{held}");
    }

    /// <summary>Of any facts: no service or fill lets what is only thrown away look better than without it, but for
    /// limits that count from that very work.</summary>
    [Fact]
    public void Over_random_histories_no_work_improves_what_is_only_thrown_away()
    {
        var random = new Random(412);
        for (var i = 0; i < 10_000; i++)
        {
            var question = RandomFacts.Question(random) with { AsOf = Day("2032-01-01") };
            if (question.Subject is not ComponentFacts part)
            {
                continue;
            }

            var kind = question.Kind with
            {
                IsRenewable = false,
                Clock = AgeAnchor.Manufacture,
                Limits = [.. question.Kind.Limits.Where(limit => limit.From is not (AgeAnchor.Fill
                    or AgeAnchor.Service))],
            };
            part = part with
            {
                OwnLimits = [.. part.OwnLimits.Where(limit => limit.From is not (AgeAnchor.Fill or AgeAnchor.Service))],
            };
            var work = On(
                random.Next(2) == 0 ? EvidenceKind.Service : EvidenceKind.Fill,
                $"{RandomFacts.Day(random, 1990, 2026):yyyy-MM-dd}");
            var before = DueAssessment.Assess(question with { Kind = kind, Subject = part });
            var after = DueAssessment.Assess(question with
            {
                Kind = kind,
                Subject = part with { Evidence = [.. part.Evidence, work] }
            });

            Assert.True(after.State <= before.State, $"Case {i}: {before.State} became {after.State}.");
        }
    }

    private static Finding Bad(FindingGrade grade) => new() { On = Day("2021-01-15"), Grade = grade };

    private static ComponentFacts Found(Evidence[] evidence, params Finding[] findings) => new()
    {
        Evidence = [MadeIn2020, .. evidence],
        Findings = findings,
    };

    private static ComponentFacts Measured(decimal value, string unit, string? quantity) => Found(
        [], new Finding { On = Day("2021-01-15"), Grade = FindingGrade.Pass, Measured = new(value, unit, quantity) });
}
