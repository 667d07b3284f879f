using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Catalogue;

public sealed class PartCatalogueTests
{
    private static readonly PartCatalogue Ours = PartCatalogue.BuiltIn;

    private static readonly IEnumerable<string> Conventions = MarkConventions.All.Select(convention => convention.Key);

    [Fact]
    public void The_built_in_data_have_no_fault() => Assert.Empty(Ours.Validate());

    [Fact]
    public void Every_convention_named_is_one_that_can_be_read() =>
        Assert.Empty(Ours.All.SelectMany(kind => kind.Mark.Likely.Concat(kind.Mark.Possible)).Except(Conventions));

    [Fact]
    public void Every_convention_is_met_on_some_kind() =>
        Assert.Empty(Conventions.Except(Ours.All.SelectMany(kind => kind.Mark.Likely.Concat(kind.Mark.Possible))));

    /// <summary>Where the law names the form of the mark, it comes first: 49 CFR 574.5, 571.106 S5.2.2, 571.209
    /// S4.1(j), 571.304 S7.4.</summary>
    [Theory]
    [InlineData("tyre-road", "tin-wwyy")]
    [InlineData("brake-hose-flexible", "fmvss106-hose")]
    [InlineData("seat-belt", "fmvss209-belt-year")]
    [InlineData("cng-cylinder", "fmvss304-expiry")]
    [InlineData("race-harness-fia", "fia-not-valid-after")]
    [InlineData("stock-seals-nitrile", "quarter-year")]
    public void The_lawful_or_standard_form_of_a_mark_comes_first(string kind, string convention) =>
        Assert.Equal(convention, Ours.Find(kind)!.Mark.Likely[0]);

    /// <summary>Year labels are not taken for groups of week or day figures: "2018" on a belt or an extinguisher is a
    /// year.</summary>
    [Theory]
    [InlineData("seat-belt")]
    [InlineData("extinguisher-dry-chemical")]
    [InlineData("extinguisher-disposable")]
    [InlineData("lpg-regulator")]
    public void Four_figures_on_a_year_label_are_a_year(string kind)
    {
        var mark = Ours.Find(kind)!.Mark;
        var reading = MarkReader.Read(
            new("2018") { Observed = new(2026, 6, 1), Likely = mark.Likely, Possible = mark.Possible });

        Assert.Equal([DateSpan.Year(2018)], reading.Readings.Select(r => r.Span));
    }

    /// <summary>ISO 2230 5.3 c (R-ISO2230): 3/94 on a bag is July to September 1994, easily misread as March: both must
    /// be tried.</summary>
    [Fact]
    public void A_seal_bag_can_be_read_as_quarter_or_month()
    {
        var mark = Ours.Find("stock-seals-nitrile")!.Mark;
        Assert.Contains("quarter-year", mark.Likely);
        Assert.Contains("month-year", mark.Possible);
    }

    [Fact]
    public void A_key_that_does_not_exist_finds_nothing()
    {
        Assert.Null(Ours.Find("flux-capacitor"));
        Assert.Null(Ours.Find("Tyre-Road"));
        Assert.Null(Ours.FindReference("R-NONE"));
        Assert.Null(Ours.FindCaution("none"));
    }

    /// <summary>2/32 in is 1.5875 mm by arithmetic (1 in = 25.4 mm), so 1.59 mm passes the US line (49 CFR 570.9, from
    /// memory) and fails the European 1.6 mm.</summary>
    [Fact]
    public void Tread_passes_one_jurisdiction_and_fails_the_other()
    {
        Assert.True(Threshold("tread-min-us").Passes(1.59m));
        Assert.True(Threshold("tread-min-us").Passes(1.5875m));
        Assert.False(Threshold("tread-min-us").Passes(1.58m));
        Assert.False(Threshold("tread-min-eu-uk").Passes(1.59m));
        Assert.True(Threshold("tread-min-eu-uk").Passes(1.6m));
        Assert.Equal(["US"], Threshold("tread-min-us").Jurisdictions);
        Assert.Equal(["EU", "GB"], Threshold("tread-min-eu-uk").Jurisdictions);
    }

    /// <summary>49 CFR 570.7 lash table, inches by 25.4; 49 CFR 571.116 S5.1.2 for DOT 4 wet; ASTM D3306 for 40 to 70
    /// %; a third of the wall by the 2012 manual.</summary>
    [Theory]
    [InlineData("lash-16", 50.8, true)]
    [InlineData("lash-16", 50.9, false)]
    [InlineData("lash-18", 57.15, true)]
    [InlineData("lash-20", 63.6, false)]
    [InlineData("bf-dot4-wet", 155, true)]
    [InlineData("bf-dot4-wet", 154.9, false)]
    [InlineData("coolant-mix", 40, true)]
    [InlineData("coolant-mix", 70, true)]
    [InlineData("coolant-mix", 39.9, false)]
    [InlineData("coolant-mix", 70.1, false)]
    [InlineData("brake-hose-us", 0, true)]
    [InlineData("brake-hose-us", 1, false)]
    [InlineData("brake-pipe-wall", 0.333, false)]
    [InlineData("brake-pipe-wall", 0.332, true)]
    public void A_threshold_passes_at_its_value_and_fails_beyond(string id, double measured, bool passes) =>
        Assert.Equal(passes, Threshold(id).Passes((decimal)measured));

    /// <summary>49 CFR 571.304 S7.4(g): every 36 months or 36,000 miles; 36,000 x 1.609344 = 57,936.4 km, rounded
    /// down.</summary>
    [Fact]
    public void A_cng_cylinder_is_looked_at_every_36_months_or_36000_miles()
    {
        var inspection = Ours.Find("cng-cylinder")!.Inspection;
        Assert.Equal(36, inspection.Months.Value);
        Assert.Equal((int)Distance.Of(36_000, DistanceUnit.Mile).Kilometres, inspection.Kilometres?.Value);
    }

    /// <summary>FIA 8853/98 and 8855-1999: to 31 December of the fifth year after the year of manufacture (R-FIA8853,
    /// R-FIAseat). SFI counts from the month (R-SFI).</summary>
    [Fact]
    public void Only_fia_gear_runs_to_the_end_of_the_year()
    {
        var ends = Ours.All.SelectMany(kind => kind.Limits, (kind, limit) => (kind.Key, limit.Months, limit.End))
            .Where(row => row.End != EndRule.Day);

        Assert.Equal([("race-harness-fia", 60, EndRule.YearEnd), ("race-seat", 60, EndRule.YearEnd)], ends);
    }

    /// <summary>Notice of the GB agency as reprinted (R-DVSA10): in force from 1 February 2021, over 10
    /// years.</summary>
    [Fact]
    public void The_heavy_tyre_ban_holds_in_gb_from_its_first_day()
    {
        Assert.Empty(Ours.LawsFor("tyre-heavy-steer", "GB", new(2021, 1, 31)));
        var law = Assert.Single(Ours.LawsFor("tyre-heavy-steer", "GB", new(2021, 2, 1)));
        Assert.Equal((LimitLevel.StopUse, 120, AgeAnchor.Manufacture), (law.Level, law.Months, law.Anchor));
        Assert.Empty(Ours.LawsFor("tyre-heavy-steer", "FR", new(2021, 2, 1)));
        Assert.Empty(Ours.LawsFor("tyre-heavy-steer", null, new(2021, 2, 1)));
        Assert.Empty(Ours.LawsFor("tyre-road", "GB", new(2021, 2, 1)));
    }

    /// <summary>Circular B76/2000/MOT as described on trade pages (R-R67IT): 10 years from first registration or
    /// installation test, to the day; R-R110: 4 years, month end.</summary>
    [Fact]
    public void Gas_tanks_in_italy_count_from_a_regulatory_day()
    {
        var lpg = Assert.Single(Ours.LawsFor("lpg-tank", "IT", new(2017, 1, 10)));
        Assert.Equal((AgeAnchor.Regulatory, 120, EndRule.Day), (lpg.Anchor, lpg.Months, lpg.End));
        var cng = Assert.Single(Ours.LawsFor("cng-cylinder", "IT", new(2017, 1, 10)));
        Assert.Equal((AgeAnchor.Regulatory, 48, EndRule.MonthEnd), (cng.Anchor, cng.Months, cng.End));
    }

    /// <summary>R-DGUV and R-DIN20066: at most two years in store for made-up hydraulic hose, four for bulk. Elsewhere
    /// five years, common practice, no source.</summary>
    [Theory]
    [InlineData("ps-hose-pressure", 24, Tag.Standard)]
    [InlineData("abs-pressure-hose", 24, Tag.Standard)]
    [InlineData("oil-cooler-hose", 24, Tag.Standard)]
    [InlineData("stock-hose-assembly", 24, Tag.Standard)]
    [InlineData("stock-hose-bulk", 48, Tag.Standard)]
    [InlineData("brake-hose-flexible", 60, Tag.Practice)]
    [InlineData("tyre-road", 60, Tag.Practice)]
    [InlineData("timing-belt", 60, Tag.Practice)]
    public void The_shelf_allowance_is_a_published_storage_limit_or_five_years(string kind, int months, Tag tag) =>
        Assert.Equal((months, tag), (Ours.Find(kind)!.ShelfMonths.Value, Ours.Find(kind)!.ShelfMonths.Tag));

    [Theory]
    [InlineData("fuel-hose-low-pressure", "fuel")]
    [InlineData("radiator-hose", "hot-coolant")]
    [InlineData("air-bag", "pyrotechnics")]
    [InlineData("dampers", "stored-energy")]
    [InlineData("brake-shoes", "old-friction")]
    [InlineData("ac-hose", "refrigerant")]
    [InlineData("brake-hose-flexible", "brakes")]
    [InlineData("ps-hose-pressure", "high-pressure")]
    [InlineData("battery-starter", "electrical")]
    [InlineData("lpg-tank", "gas-fuel")]
    [InlineData("exhaust-joints", "fumes")]
    [InlineData("gearbox-oil", "lifting")]
    public void A_job_shows_the_caution_it_needs(string kind, string caution) =>
        Assert.Contains(caution, Ours.Find(kind)!.Cautions);

    [Fact]
    public void A_caution_that_a_job_does_not_need_is_not_shown()
    {
        Assert.DoesNotContain("refrigerant", Ours.Find("brake-hose-flexible")!.Cautions);
        Assert.DoesNotContain("fuel", Ours.Find("radiator-hose")!.Cautions);
        Assert.Empty(Ours.Find("air-filter")!.Cautions);
    }

    /// <summary>Whatever can kill when it fails and is worked on by hand carries a caution; what is only worn or belted
    /// on the person does not.</summary>
    [Fact]
    public void Work_on_catastrophic_kinds_always_carries_a_caution()
    {
        var bare = Ours.All.Where(kind => kind.Hazard.Class == HazardClass.Catastrophic && kind.Cautions.Count == 0)
            .Select(kind => kind.Key);
        Assert.Equal(["child-seat", "race-harness-sfi", "race-harness-fia", "race-helmet"], bare);
    }

    [Fact]
    public void Every_caution_ends_by_deferring_to_local_codes_once()
    {
        const string closing = "Local codes and licensed practice take precedence.";
        Assert.All(
            Ours.Cautions,
            caution => Assert.Equal(
                caution.Text.Length - closing.Length, caution.Text.IndexOf(closing, StringComparison.Ordinal)));
    }

    private static AgeWatch.Core.Catalogue.Threshold Threshold(string id) =>
        Ours.Thresholds.Single(threshold => threshold.Id == id);
}
