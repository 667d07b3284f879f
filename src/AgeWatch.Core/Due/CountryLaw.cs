namespace AgeWatch.Core.Due;

/// <summary>An age limit that a country's law sets.</summary>
/// <param name="Country">ISO 3166-1 alpha-2.</param>
/// <param name="PartKinds">Keys of the kinds it holds for.</param>
/// <param name="Limit">Tagged law, with its source and the day from which it bites.</param>
/// <param name="InForceUntil">The last day it was in force; null: still.</param>
/// <param name="Scope">For which vehicles, in words: a person must see whether theirs is one.</param>
public sealed record LawLimit(
    string Country, IReadOnlyList<string> PartKinds, Limit Limit, DateOnly? InForceUntil = null, string? Scope = null);

/// <summary>Law known here. It is a floor, not a survey: a country that is missing has not been looked into.</summary>
public static class CountryLaw
{
    public static IReadOnlyList<LawLimit> BuiltIn { get; } =
    [
        // R-DVSA10: agency notice as reprinted; the statutory instrument itself was not seen. A retread's own date counts.
        new("GB", ["tyre-heavy-steer"],
            Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 120, Tag.Law, "R-DVSA10") with { ValidFrom = new(2021, 2, 1) },
            Scope: "front steered axles of goods vehicles over 3.5 t, buses and coaches, and single wheels of minibuses"),

        // R-R67IT: to the day; the trade pages that describe the circular disagree on month end, the earlier day is taken.
        new("IT", ["lpg-tank"],
            Limit.Age(LimitLevel.StopUse, AgeAnchor.Regulatory, 120, Tag.Law, "R-R67IT"),
            Scope: "from first registration when fitted by the factory, from the installation test when fitted later"),
    ];
}
