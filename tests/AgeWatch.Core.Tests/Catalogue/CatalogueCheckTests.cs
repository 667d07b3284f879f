using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.Tests.Catalogue;

/// <summary>Each rule of the check is broken once and must be named.</summary>
public sealed class CatalogueCheckTests
{
    private static readonly PartCatalogue Sound = PartCatalogue.BuiltIn;

    public static TheoryData<string, string> Faults => new()
    {
        { "no-reference", "There is no reference R-NONE." },
        { "untold-source", "Only common practice is without a reference." },
        { "owner-tag", "The tag Maker is for an owner to give." },
        { "levels-crossed", "Limits go inspect, replace, stop." },
        { "two-units", "A limit has exactly one of months, kilometres and hours." },
        { "zero", "A limit is more than zero." },
        { "same-level-twice", "Two limits of one level and unit." },
        { "end-of-distance", "Only months have an end rule." },
        { "capital-key", "A key is lower case with hyphens." },
        { "odd-convention", "A convention key is letters and figures with hyphens." },
        { "convention-twice", "A convention stands twice." },
        { "event-unnamed", "A life limited by an event names the events." },
        { "hours-crossed", "Hours run from low to high." },
        { "fluid-component", "A fluid is a service task." },
        { "shelf-zero", "A number is more than zero." },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void A_broken_kind_is_named(string how, string what) =>
        Assert.Contains(With(Broken(how)).Validate(), fault => fault.What == what);

    [Fact]
    public void A_kind_too_few_is_named()
    {
        var faults = new PartCatalogue(
            Sound.Version, [.. Sound.All.Skip(1)], Sound.References, Sound.Thresholds, Sound.Laws,
            Sound.Cautions).Validate();

        Assert.Contains(faults, fault => fault.What == "There are 118, not 119.");
        Assert.Contains(faults, fault => fault.What == "There are 88 core kinds, not 89.");
    }

    [Fact]
    public void A_double_key_is_named() =>
        Assert.Contains(With(Kind with { Key = "tyre-spare" }).Validate(), fault =>
            fault == new CatalogueFault("tyre-spare", "The part kind key stands twice."));

    [Fact]
    public void A_law_or_threshold_on_a_kind_that_does_not_exist_is_named()
    {
        var faults = new PartCatalogue(
            Sound.Version, Sound.All, Sound.References,
            [Sound.Thresholds[0] with { PartKinds = ["flux-capacitor"] }],
            [Sound.Laws[0] with { PartKind = "flux-capacitor", ValidUntil = new(
                2020, 1, 1), Country = "gb", Months = 0 }],
            Sound.Cautions).Validate();

        Assert.Equal(2, faults.Count(fault => fault.What == "There is no part kind flux-capacitor."));
        Assert.Contains(faults, fault => fault.What == "The law ends before it begins.");
        Assert.Contains(faults, fault => fault.What == "A country is two capital letters.");
        Assert.Contains(faults, fault => fault.What == "A limit is more than zero months.");
    }

    [Fact]
    public void A_caution_without_its_closing_or_its_jobs_is_named()
    {
        var faults = new PartCatalogue(
            Sound.Version, Sound.All, Sound.References, Sound.Thresholds, Sound.Laws,
            [
                .. Sound.Cautions,
                Sound.Cautions[0] with { Key =
                    "idle", Text = "Mind.", Systems = [], Areas = [], Opens = [], PartKinds = [] }]).Validate();

        Assert.Equal(
            ["A caution ends by deferring to local codes.", "No part kind calls for this caution."],
            faults.Select(fault => fault.What).Order());
    }

    private static PartKind Kind => Sound.Find("tyre-road")!;

    private static KindLimit Limit => Kind.AgeLimit(LimitLevel.ReplaceBy)!;

    private static PartKind Broken(string how) => how switch
    {
        "no-reference" => Kind with { Limits = [Limit with { Reference = "R-NONE" }] },
        "untold-source" => Kind with { Limits = [Limit with { Reference = null }] },
        "owner-tag" => Kind with { Limits = [Limit with { Tag = Tag.Maker }] },
        "levels-crossed" => Kind with { Limits = [Limit, Limit with { Level = LimitLevel.StopUse, Months = 71 }] },
        "two-units" => Kind with { Limits = [Limit with { Kilometres = 1 }] },
        "zero" => Kind with { Limits = [Limit with { Months = 0 }] },
        "same-level-twice" => Kind with { Limits = [Limit, Limit with { Months = 80 }] },
        "end-of-distance" =>
            Kind with { Limits = [Limit with { Months = null, Kilometres = 1, End = EndRule.YearEnd }] },
        "capital-key" => Kind with { Key = "Tyre-Road" },
        "odd-convention" => Kind with { Mark = Kind.Mark with { Likely = ["tin wwyy"] } },
        "convention-twice" => Kind with { Mark = Kind.Mark with { Likely = ["year"], Possible = ["year"] } },
        "event-unnamed" => Kind with { LimitedBy = [LifeEnd.Event] },
        "hours-crossed" => Kind with { Labour = Kind.Labour with { Low = 2, High = 1 } },
        "fluid-component" => Kind with { Clock = AgeAnchor.Fill },
        "shelf-zero" => Kind with { ShelfMonths = Kind.ShelfMonths with { Value = 0 } },
        _ => throw new ArgumentOutOfRangeException(nameof(how), how, null),
    };

    private static PartCatalogue With(PartKind broken) => new(
        Sound.Version, [.. Sound.All.Select(kind => kind.Key == "tyre-road" ? broken : kind)],
        Sound.References, Sound.Thresholds, Sound.Laws, Sound.Cautions);
}
