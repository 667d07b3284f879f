using System.Collections.Frozen;
using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.WalkRounds;

/// <summary>Kinds of which a vehicle has several as a rule, so that one on record says little of the others.</summary>
/// <remarks>
/// Common practice, no source: the catalogue knows no numbers of parts. Zero stands for "more than one, nobody knows
/// how many". A kind that is not here is one part, or is written down as one set.
/// </remarks>
internal static class UsualSets
{
    private static readonly FrozenDictionary<string, int> OnCars = new Dictionary<string, int>
    {
        ["brake-hose-flexible"] = 6,
        ["brake-pipe-steel"] = 0,
        ["brake-pipe-copper-alloy"] = 0,
        ["brake-pads"] = 2,
        ["brake-shoes"] = 2,
        ["caliper-seals"] = 4,
        ["wheel-cylinder-seals"] = 4,
        ["parking-brake-cable"] = 3,
        ["tyre-road"] = 4,
        ["tyre-trailer"] = 0,
        ["tyre-heavy-steer"] = 2,
        ["tyre-valve"] = 4,
        ["inner-tube"] = 4,
        ["seat-belt"] = 5,
        ["air-bag"] = 0,
        ["belt-pretensioner"] = 0,
        ["child-seat"] = 0,
        ["fuel-hose-low-pressure"] = 0,
        ["fuel-hose-injection-pressure"] = 0,
        ["fuel-tank-vent-hose"] = 0,
        ["radiator-hose"] = 2,
        ["heater-hose"] = 0,
        ["coolant-bypass-hose"] = 0,
        ["vacuum-hoses"] = 0,
        ["breather-hoses"] = 0,
        ["oil-cooler-hose"] = 2,
        ["ac-hose"] = 0,
        ["lpg-hose"] = 0,
        ["lpg-tank"] = 0,
        ["cng-cylinder"] = 0,
        ["v-belt"] = 3,
        ["ribbed-belt"] = 2,
        ["steering-rack-boots"] = 2,
        ["cv-boots"] = 4,
        ["ball-joints"] = 0,
        ["suspension-bushes"] = 0,
        ["dampers"] = 4,
        ["air-spring"] = 4,
        ["engine-mounts"] = 0,
        ["propshaft-coupling"] = 2,
        ["gas-strut"] = 0,
        ["exhaust-hangers"] = 0,
        ["extinguisher-dry-chemical"] = 0,
        ["extinguisher-disposable"] = 0,
        ["extinguisher-co2-or-foam"] = 0,
    }.ToFrozenDictionary();

    private static readonly string[] ByTheWheel = ["tyre-road", "tyre-valve", "inner-tube"];

    public static IEnumerable<string> Keys => OnCars.Keys;

    /// <summary>At most so many, as a rule; 0: several, how many is not known. Null: one.</summary>
    public static int? Of(VehicleForm form, PartKind kind) =>
        !OnCars.TryGetValue(kind.Key, out var most) ? null
        : form == VehicleForm.Car ? most
        : form == VehicleForm.Motorcycle && ByTheWheel.Contains(kind.Key) ? 2
        : 0;
}
