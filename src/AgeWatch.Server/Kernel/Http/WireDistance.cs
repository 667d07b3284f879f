using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Core.Usage;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A distance on the wire: <c>{ "value": 48210, "unit": "mi" }</c>.</summary>
internal sealed record WireDistance([Range(0, WireDistance.Greatest)] decimal Value, DistanceUnit Unit)
{
    public const int Greatest = Shown.MostDistance;

    public Distance ToDistance() => Distance.Of(Value, Unit);

    /// <summary>Rounded to the metre or so: an odometer shows no more.</summary>
    public static WireDistance From(Distance distance, DistanceUnit unit) =>
        new(decimal.Round(distance.In(unit), 3) / 1.000000000000000000000000000000m, unit);

    /// <summary>As what an odometer showed on a day.</summary>
    public ShownDistance ShownOn(DateOnly on) => new(on, Value, Unit);
}
