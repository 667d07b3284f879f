using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Answers;

/// <summary>What a vehicle's columns say, as it goes over the wire.</summary>
internal static class VehicleColumns
{
    public static WireDistance? Declared(Vehicle v) =>
        v.DeclaredMetresPerYear is { } metres ? WireDistance.From(new Distance(metres / 1000m), v.DistanceUnit) : null;

    public static WireSeason? Season(Vehicle v) =>
        v.SeasonFrom is { } from && v.SeasonTo is { } to ? new WireSeason(from, to) : null;

    public static WireHeatAgeing? HeatAgeing(Vehicle v) =>
        v.HeatEnergy is { } energy && v.HeatSource is { } source
            ? new(energy / 1000m, source, v.HeatSpread / 1000m, v.HeatReference / 1000m, v.HeatCounts)
            : null;
}
