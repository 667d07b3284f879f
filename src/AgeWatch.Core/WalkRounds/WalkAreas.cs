using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.WalkRounds;

/// <summary>The areas of a car in the order of a walk round it: doors and lids first, then the wheels, under the car
/// last.</summary>
/// <remarks>Common practice, no source: what needs no jack comes before what does.</remarks>
public static class WalkAreas
{
    private static readonly (string Key, string Name)[] Order =
    [
        ("body-exterior", "Outside"),
        ("cabin-front", "Cabin, front"),
        ("dash", "Dashboard"),
        ("cabin-rear", "Cabin, rear"),
        ("boot", "Boot"),
        ("battery", "Battery"),
        ("engine-top", "Engine, top"),
        ("engine-front", "Engine, front"),
        ("engine-side", "Engine, sides"),
        ("engine-rear-bulkhead", "Engine, at the bulkhead"),
        ("wheel-off-front", "Front wheels"),
        ("wheel-off-rear", "Rear wheels"),
        ("under-car-front", "Under the car, front"),
        ("under-car-mid", "Under the car, middle"),
        ("under-car-rear", "Under the car, rear"),
        ("tank-area", "Fuel tank"),
        ("personal", "Your own gear"),
        ("workshop", "Workshop"),
        ("bench", "On the bench"),
    ];

    private static readonly string[] AwayFromTheCar = ["personal", "workshop", "bench"];

    public static IReadOnlyList<string> Keys { get; } = [.. Order.Select(area => area.Key)];

    /// <summary>As a person says it; an unknown key as it is.</summary>
    public static string NameOf(string area) => Array.Find(Order, known => known.Key == area).Name ?? area;

    /// <summary>Place on the way round; areas not known come last.</summary>
    public static int PlaceOf(string area) =>
        Array.FindIndex(Order, known => known.Key == area) is >= 0 and var at ? at : Order.Length;

    /// <summary>Where a kind is reached first.</summary>
    internal static string FirstOf(PartKind kind) => kind.Areas.MinBy(PlaceOf)!;

    /// <summary>Spares, tools and clothing are not on the car.</summary>
    internal static bool IsOnTheCar(PartKind kind) => kind.Areas.Any(area => !AwayFromTheCar.Contains(area));
}
