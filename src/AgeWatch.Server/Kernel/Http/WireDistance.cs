using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A distance on the wire: <c>{ "value": 48210, "unit": "mi" }</c>.</summary>
internal sealed record WireDistance([Range(0, WireDistance.Greatest)] decimal Value, DistanceUnit Unit)
{
    // More than any odometer shows; it keeps sums far from overflow.
    public const int Greatest = 99_999_999;

    public Distance ToDistance() => Distance.Of(Value, Unit);

    /// <summary>Rounded to the metre or so: an odometer shows no more.</summary>
    public static WireDistance From(Distance distance, DistanceUnit unit) =>
        new(decimal.Round(distance.In(unit), 3) / 1.000000000000000000000000000000m, unit);
}
