using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Law, label, maker's figure, standard, catalogue default: in this order, per level and clock; the beaten
/// ones are shown.</summary>
public sealed class PrecedenceTests
{
    private static readonly Evidence MadeIn2010 = Mark(DateSpan.Day(Day("2010-06-01")));

    [Fact]
    public void Of_five_sources_the_law_counts_and_four_are_shown_beaten()
    {
        Tag[] tags = [Tag.Practice, Tag.Standard, Tag.Maker, Tag.Label, Tag.Law];
        for (var top = 1; top < tags.Length; top++)
        {
            var limits = tags[..(top + 1)]
                .Select((tag, i) => Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 60 + i, tag))
                .ToArray();

            var answer = Ask(Kind(limits), Part(MadeIn2010), "2026-01-01");

            Assert.Equal(tags[top], answer.Governing!.Tag);
            Assert.Equal(
                top,
                answer.Limits.Count(limit =>
                    limit.Standing == LimitStanding.Beaten && limit.BeatenBy!.Tag == tags[top]));
            Assert.All(answer.Limits, limit => Assert.NotNull(limit.Due));
        }
    }

    [Fact]
    public void A_makers_longer_figure_beats_practice_but_not_the_stop_use_line_of_a_standard()
    {
        var part = new ComponentFacts
        {
            Evidence = [MadeIn2010],
            OwnLimits =
            [
                Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 144, Tag.Maker),
                Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 180, Tag.Maker),
            ],
        };

        Assert.Equal(
            DueState.InLife,
            Ask(RoadTyre with { Limits = [RoadTyre.Limits[1]], InspectEveryMonths = null }, part, "2016-06-01").State);
        var answer = Ask(RoadTyre, part, "2020-06-01");
        Assert.Equal(
            (DueState.StopUse, 120m, Tag.Standard), (answer.State, answer.Governing!.Number, answer.Governing.Tag));
    }

    [Fact]
    public void An_own_limit_later_than_the_law_changes_nothing()
    {
        var part = new ComponentFacts
        {
            Evidence = [MadeIn2010],
            OwnLimits = [Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 240, Tag.Label)],
        };

        var answer = Ask(RoadTyre with { Key = "tyre-heavy-steer" }, part, "2024-01-01", Car() with { Country = "GB" });

        Assert.Equal(
            (DueState.StopUse, Tag.Law, "R-DVSA10"), (answer.State, answer.Governing!.Tag, answer.Governing.Reference));
    }

    [Fact]
    public void Numbers_of_one_rank_all_count_and_the_shorter_comes_first()
    {
        var part = new ComponentFacts
        {
            Evidence = [MadeIn2010],
            OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Practice)],
        };

        Assert.Equal(72, Ask(BrakeHose, part, "2026-01-01").Governing!.Number);
    }

    [Fact]
    public void Numbers_on_different_clocks_all_count()
    {
        var part = new ComponentFacts
        {
            Evidence = [MadeIn2010, On(EvidenceKind.Fitted, "2010-07-01")],
            OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 120, Tag.Maker)],
        };

        Assert.Equal(AgeAnchor.Manufacture, Ask(BrakeHose, part, "2026-01-01").Governing!.Anchor);
    }

    /// <summary>A label that ends a life answers the same question as the catalogue's years from manufacture.</summary>
    [Fact]
    public void A_printed_last_day_replaces_the_catalogues_years_from_manufacture()
    {
        var harness = Kind(
            Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 60, Tag.Standard, "R-FIA8853", EndRule.YearEnd),
            Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 72, Tag.Standard, "R-FIA8853"));

        var answer = Ask(harness, Part(Expiry("2030-01-01", "2030-12-31")), "2026-01-01");

        Assert.Equal((DueState.InLife, DateSpan.Day(Day("2031-01-01"))), (answer.State, answer.Due!.Value));
        Assert.Equal(2, answer.Limits.Count(limit => limit.Standing == LimitStanding.Beaten));
    }

    [Fact]
    public void A_printed_last_day_does_not_replace_the_makers_replace_by()
    {
        var part = new ComponentFacts
        {
            Evidence = [MadeIn2010, Expiry("2030-01-01", "2030-12-31")],
            OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Maker)],
        };

        Assert.Equal(DueState.Overdue, Ask(Kind(), part, "2026-01-01").State);
    }

    /// <summary>GB: in force from 1 February 2021 (R-DVSA10). A tyre of 2010 passed ten years before that
    /// day.</summary>
    [Fact]
    public void A_law_bites_from_the_day_it_is_in_force_and_hides_nothing_before()
    {
        var car = Car() with { Country = "GB" };
        var kind = RoadTyre with { Key = "tyre-heavy-steer" };

        var before = Ask(kind, Part(MadeIn2010), "2020-12-31", car);
        var after = Ask(kind, Part(MadeIn2010), "2021-02-01", car);

        Assert.Equal((DueState.StopUse, Tag.Standard), (before.State, before.Governing!.Tag));
        Assert.Equal(DueState.StopUse, after.State);
        Assert.Contains(after.Limits, limit => limit.Tag == Tag.Law && limit.Due == DateSpan.Day(Day("2021-02-01")));
    }

    /// <summary>check-7 and check-8 (R-R67IT): ten years from first registration, or from the installation test, to the
    /// day.</summary>
    [Theory]
    [InlineData("2007-01-10", null, "2017-01-10")]
    [InlineData("2007-01-10", "2009-03-15", "2019-03-15")]
    [InlineData(null, "2009-03-15", "2019-03-15")]
    public void An_Italian_gas_tank_counts_from_its_legal_day(string? registered, string? tested, string due)
    {
        var tank = new KindRules
        {
            Key = "lpg-tank",
            Hazard = HazardClass.Catastrophic,
            Clock = AgeAnchor.Regulatory,
            Limits = [Limit.Age(LimitLevel.StopUse, AgeAnchor.Regulatory, 120, Tag.Standard, "R-R67IT")],
        };
        List<Evidence> evidence = [Mark(DateSpan.Year(2005))];
        if (tested is not null)
        {
            evidence.Add(On(EvidenceKind.Regulatory, tested));
        }

        var car = Car() with { Country = "IT", RegisteredOn = registered is null ? null : Day(registered) };
        var answer = Ask(tank, Part([.. evidence]), due, car);

        Assert.Equal(
            (DueState.StopUse, Tag.Law, DateSpan.Day(Day(due))),
            (answer.State, answer.Governing!.Tag, answer.Due!.Value));
    }

    [Fact]
    public void Without_its_legal_day_a_tank_counts_from_what_is_known()
    {
        var answer = Ask(
            Kind(Limit.Age(LimitLevel.StopUse, AgeAnchor.Regulatory, 120, Tag.Standard)),
            Part(Mark(DateSpan.Year(2005))), "2026-01-01");

        Assert.Equal(Span("2015-01-01", "2015-12-31"), answer.Due);
    }

    /// <summary>R-R110: a lawful test starts the count anew; the month end is taken.</summary>
    [Fact]
    public void A_law_that_repeats_counts_from_the_last_test()
    {
        var kind = Kind(Limit.Age(
            LimitLevel.StopUse, AgeAnchor.Regulatory, 48, Tag.Law, "R-R110", EndRule.MonthEnd) with
        { Repeats = true });

        var answer = Ask(
            kind, Part(On(EvidenceKind.Regulatory, "2015-03-10"), On(EvidenceKind.Regulatory, "2019-02-20")),
            "2023-02-28");

        Assert.Equal(DateSpan.Day(Day("2023-03-01")), answer.Due);
    }

    [Fact]
    public void A_shorter_number_that_is_beaten_is_pointed_out()
    {
        var part = new ComponentFacts
        {
            Evidence = [MadeIn2010],
            OwnLimits =
            [
                Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 240, Tag.Label),
                Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 60, Tag.Maker),
            ],
        };

        Assert.Contains(Ask(Kind(), part, "2020-01-01").Notes, note =>
            note is { Code: DueNoteCode.ShorterNumberBeaten, Limit.Tag: Tag.Maker });
    }
}
