using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.WalkRounds;

/// <summary>What a vehicle is, as far as it decides which kinds of part it can have.</summary>
public enum VehicleForm
{
    /// <summary>A car or van.</summary>
    Car,
    Motorcycle,
    Trailer,
    Caravan,
}

/// <summary>Which kinds a form cannot have. In doubt a kind is asked about: a question too many does no harm.</summary>
internal static class FormFit
{
    private static readonly string[] OnTrailers =
        [
            "tyre-trailer", "tyre-spare", "tyre-valve", "inner-tube", "wheel-bearing-grease", "dampers",
            "suspension-bushes", "air-spring", "battery-starter"];

    private static readonly string[] OnCaravans =
        [
            "lpg-hose", "lpg-tank", "extinguisher-dry-chemical", "extinguisher-disposable", "extinguisher-co2-or-foam",
            "gas-strut", "door-seals", "windscreen-seal"];

    private static readonly string[] NotOnTrailers = ["brake-servo-hose", "abs-pressure-hose"];

    private static readonly string[] NotOnMotorcycles = [
        "restraint-safety", "body-rubber", "air-conditioning", "gas-fuel"];

    public static bool CanHave(VehicleForm form, PartKind kind) => form switch
    {
        VehicleForm.Car => kind.Key is not ("tyre-trailer" or "tyre-heavy-steer"),
        VehicleForm.Motorcycle =>
            !NotOnMotorcycles.Contains(kind.System)
                && kind.Key is not ("tyre-trailer" or "tyre-heavy-steer" or "tyre-spare"),
        VehicleForm.Trailer => Towed(kind),
        VehicleForm.Caravan => Towed(kind) || OnCaravans.Contains(kind.Key),
    };

    private static bool Towed(PartKind kind) =>
        OnTrailers.Contains(kind.Key) || kind.System == "brakes" && !NotOnTrailers.Contains(kind.Key);
}
