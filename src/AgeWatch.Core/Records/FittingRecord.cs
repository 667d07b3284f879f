namespace AgeWatch.Core.Records;

/// <summary>A component comes onto a vehicle.</summary>
public sealed record FittingRecord
{
    /// <summary>Local to the club; null: nobody knows the day.</summary>
    public required DateOnly? On { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="built">When the vehicle was built; null: not known.</param>
    /// <param name="goneOn">The first day on which the vehicle was no longer the club's; null: it still is.</param>
    public static IEnumerable<Refusal> Check(FittingRecord fitting, DateSpan? built, DateOnly? goneOn)
    {
        if (fitting.On < built?.First)
        {
            yield return new(
                "before-built", nameof(On), $"The vehicle was not built before {built.Value.First:yyyy-MM-dd}.");
        }

        if (fitting.On > goneOn)
        {
            yield return new("after-gone", nameof(On), $"The vehicle has been gone since {goneOn:yyyy-MM-dd}.");
        }
    }
}
