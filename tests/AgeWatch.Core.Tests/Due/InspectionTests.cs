using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Findings and inspection intervals. Nothing that an inspection says moves a limit later.</summary>
public sealed class InspectionTests
{
    private static readonly Evidence MadeIn2020 = Mark(DateSpan.Day(Day("2020-06-01")));

    [Fact]
    public void From_the_inspect_from_age_on_a_look_is_due()
    {
        Assert.Equal(DueState.DueSoon, Ask(BrakeHose, Part(MadeIn2020), "2022-05-31").State);
        Assert.Equal(DueState.InspectDue, Ask(BrakeHose, Part(MadeIn2020), "2022-06-01").State);
    }

    [Fact]
    public void A_pass_starts_the_interval_anew_and_moves_no_other_limit()
    {
        var answer = Ask(BrakeHose, Found(FindingGrade.Pass, "2023-01-15"), "2023-02-01");

        Assert.Equal((DueState.InLife, DateSpan.Day(Day("2024-01-15"))), (answer.State, answer.Due!.Value));
        Assert.Equal(
            DateSpan.Day(Day("2026-06-01")), answer.Limits.Single(limit => limit.Level == LimitLevel.ReplaceBy).Due);
        Assert.Equal(LimitStanding.Met, answer.Limits.First(limit => limit.Level == LimitLevel.InspectFrom).Standing);
    }

    [Fact]
    public void A_pass_before_the_inspect_from_age_does_not_bring_the_next_look_forward() =>
        Assert.Equal(
            DateSpan.Day(Day("2022-06-01")), Ask(BrakeHose, Found(FindingGrade.Pass, "2020-12-01"), "2021-01-01").Due);

    [Fact]
    public void A_watch_halves_the_interval_even_before_the_inspect_from_age()
    {
        Assert.Equal(
            DateSpan.Day(Day("2023-07-15")), Ask(BrakeHose, Found(FindingGrade.Watch, "2023-01-15"), "2023-02-01").Due);
        Assert.Equal(
            DateSpan.Day(Day("2021-06-01")), Ask(BrakeHose, Found(FindingGrade.Watch, "2020-12-01"), "2021-01-01").Due);
    }

    [Theory]
    [InlineData(FindingGrade.Fail, DueState.Overdue)]
    [InlineData(FindingGrade.Unfit, DueState.StopUse)]
    public void A_bad_finding_is_due_at_once(FindingGrade grade, DueState expected)
    {
        var answer = Ask(BrakeHose, Found(grade, "2021-01-15"), "2021-01-15");

        Assert.Equal((expected, Certainty.Certain), (answer.State, answer.Certainty));
        Assert.Equal(AgeAnchor.Finding, answer.Governing!.Anchor);
        Assert.NotEqual(expected, Ask(BrakeHose, Found(grade, "2021-01-15"), "2021-01-14").State);
    }

    [Fact]
    public void Work_done_answers_what_was_found_before()
    {
        var fluid = new ServiceTaskFacts
        {
            Done = [new() { On = Day("2026-05-01") }],
            Findings = [new() { On = Day("2026-05-01"), Grade = FindingGrade.Fail }],
        };

        var answer = Ask(Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fill, 24, Tag.Practice)), fluid, "2026-06-01");

        Assert.Equal(DueState.InLife, answer.State);
        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.FindingAnswered);
    }

    /// <summary>check-10 (R-304insp): looked at 2022-01-15 at 10,000 km: due 2025-01-15 or at 67,936 km, whichever
    /// first.</summary>
    [Fact]
    public void A_gas_cylinder_is_looked_at_after_36_months_or_57936_km()
    {
        var kind = Kind() with
        {
            InspectEveryMonths = 36,
            InspectEvery = new Distance(57_936),
            InspectTag = Tag.Standard,
            InspectReference = "R-304insp",
        };
        var part = new ComponentFacts
        {
            Evidence = [MadeIn2020],
            Findings = [new() { On = Day("2022-01-15"), Grade = FindingGrade.Pass,
            Odometer = Km("2022-01-15", 10_000) }],
        };

        var slow = Ask(
            kind, part, "2024-01-01", Car() with { Usage = new() { DeclaredPerYear = new Distance(5_000) } });
        var fast = Ask(
            kind, part, "2024-01-01", Car() with { Usage = new() { DeclaredPerYear = new Distance(36_525) } });

        Assert.Equal(DateSpan.Day(Day("2025-01-15")), slow.Due);
        Assert.Equal(67_936, slow.Limits.Single(limit => limit.Measure == LimitMeasure.Distance).ReachedAt);

        // 36,525 km a year are 100 km a day: 57,936 km take 579.36 days.
        Assert.Equal(DateSpan.Day(Day("2022-01-15").AddDays(579)), fast.Due);
        Assert.Equal(DueState.InspectDue, fast.State);
    }

    /// <summary>check-12: 1.59 mm passes 2/32 in (1.5875 mm) and fails 1.6 mm; where the car is decides.</summary>
    [Theory]
    [InlineData("US", DueState.InLife)]
    [InlineData("GB", DueState.Overdue)]
    [InlineData("DE", DueState.Overdue)]
    [InlineData(null, DueState.Overdue)]
    public void Tread_is_judged_by_the_law_of_the_place(string? country, DueState expected)
    {
        var kind = KindRules.From(PartCatalogue.BuiltIn.Find("tyre-road")!, PartCatalogue.BuiltIn);

        var answer = Ask(
            kind, Measured("2021-01-15", 1.59m, "mm", "tread-depth"), "2021-01-15", Car() with { Country = country });

        Assert.Equal(expected, answer.State);
    }

    /// <summary>2/32 in = 1.5875 mm exactly, and exactly on the line passes.</summary>
    [Theory]
    [InlineData(2, "32nds", DueState.InLife)]
    [InlineData(0.0625, "in", DueState.InLife)]
    [InlineData(0.06, "in", DueState.Overdue)]
    public void Inches_are_compared_in_millimetres(double value, string unit, DueState expected)
    {
        var kind = KindRules.From(PartCatalogue.BuiltIn.Find("tyre-road")!, PartCatalogue.BuiltIn);

        Assert.Equal(
            expected,
            Ask(
                kind, Measured("2021-01-15", (decimal)value, unit, "tread-depth"), "2021-01-15",
                Car() with { Country = "US" }).State);
    }

    /// <summary>FMVSS 116: wet minimum 140 °C for DOT 3, 155 for DOT 4, 180 for DOT 5.1.</summary>
    [Theory]
    [InlineData(150, "dot-4", FindingGrade.Fail)]
    [InlineData(155, "dot-4", FindingGrade.Pass)]
    [InlineData(150, "dot-3", FindingGrade.Pass)]
    [InlineData(150, null, FindingGrade.Watch)]
    [InlineData(139, null, FindingGrade.Fail)]
    [InlineData(180, null, FindingGrade.Pass)]
    public void A_boiling_point_is_judged_by_the_class_of_the_fluid(int celsius, string? fluid, FindingGrade expected)
    {
        var kind = KindRules.From(
            PartCatalogue.BuiltIn.Find("brake-fluid-glycol")!, PartCatalogue.BuiltIn) with
        { InspectEveryMonths = 12 };
        var task = new ServiceTaskFacts
        {
            Done = [new() { On = Day("2026-01-01"), Odometer = Km("2026-01-01", 50_000) }],
            Findings = [new() { On = Day("2026-02-01"), Grade = FindingGrade.Pass,
            Measured = new(celsius, "C", "boiling-point-wet", fluid) }],
        };

        var answer = Ask(
            kind, task, "2026-02-01", Car() with { Usage = new() { DeclaredPerYear = new Distance(1_000) } });

        Assert.Equal(expected switch { FindingGrade.Fail => DueState.Overdue, _ => DueState.InLife }, answer.State);
        Assert.Equal(
            expected == FindingGrade.Watch ? Day("2026-08-01") : Day("2027-02-01"),
            expected == FindingGrade.Fail ? Day("2027-02-01") : answer.Due!.Value.First);
    }

    [Fact]
    public void A_value_that_names_nothing_known_is_not_compared()
    {
        var kind = KindRules.From(PartCatalogue.BuiltIn.Find("tyre-road")!, PartCatalogue.BuiltIn);

        var answer = Ask(kind, Measured("2021-01-15", 2, "bar", "pressure"), "2021-01-15");

        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.NotCompared);
    }

    /// <summary>Half the P-F interval (Moubray, RCM II, from memory): a warning time of 9 months asks for a look every
    /// 4.</summary>
    [Fact]
    public void Half_the_warning_time_bounds_the_interval()
    {
        var kind = BrakeHose with { WarningMonths = 9 };

        Assert.Equal(
            DateSpan.Day(Day("2023-05-15")), Ask(kind, Found(FindingGrade.Pass, "2023-01-15"), "2023-02-01").Due);
    }

    [Fact]
    public void Harsh_storage_halves_the_interval()
    {
        var outdoors = Car() with { Storage = [StorageCondition.Outdoors, StorageCondition.Salt] };

        Assert.Equal(
            DateSpan.Day(Day("2023-07-15")),
            Ask(BrakeHose, Found(FindingGrade.Pass, "2023-01-15"), "2023-02-01", outdoors).Due);
    }

    [Fact]
    public void A_crash_ends_the_life_of_what_was_fitted_then()
    {
        var belt = KindRules.From(PartCatalogue.BuiltIn.Find("seat-belt")!, PartCatalogue.BuiltIn);
        var crashed = Car() with { Happenings = [new(LifeEvent.Crash, Day("2023-08-01"))] };

        Assert.Equal(DueState.StopUse, Ask(belt, Part(MadeIn2020), "2023-08-01", crashed).State);
        Assert.NotEqual(
            DueState.StopUse,
            Ask(belt, Part(MadeIn2020, On(EvidenceKind.Fitted, "2023-09-01")), "2023-10-01", crashed).State);
        Assert.NotEqual(DueState.StopUse, Ask(BrakeHose, Part(MadeIn2020), "2023-08-01", crashed).State);
    }

    private static ComponentFacts Found(FindingGrade grade, string on) => new()
    {
        Evidence = [MadeIn2020],
        Findings = [new() { On = Day(on), Grade = grade }],
    };

    private static ComponentFacts Measured(string on, decimal value, string unit, string? measure) => new()
    {
        Evidence = [MadeIn2020],
        Findings = [new() { On = Day(on), Grade = FindingGrade.Pass, Measured = new(value, unit, measure) }],
    };
}
