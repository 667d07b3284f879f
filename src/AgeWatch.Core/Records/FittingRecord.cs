namespace AgeWatch.Core.Records;

/// <summary>A component comes onto a vehicle.</summary>
public sealed record FittingRecord
{
    /// <summary>Local to the club; null: nobody knows the day.</summary>
    public required DateOnly? On { get; init; }

    /// <summary>What the odometer showed, in its own unit.</summary>
    public required decimal? Odometer { get; init; }

    /// <summary>What the hours meter showed.</summary>
    public required decimal? Hours { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="built">When the vehicle was built; null: not known.</param>
    /// <param name="goneOn">The first day on which the vehicle was no longer the club's; null: it still is.</param>
    /// <param name="latest">The latest day on which it can have been fitted.</param>
    public static IEnumerable<Refusal> Check(
        FittingRecord fitting, DateSpan? built, DateOnly? goneOn, DateOnly latest) =>
    [
        .. CheckVehicle(fitting.On, built, goneOn),
        .. PastDay.Check(fitting.On, latest, nameof(On)),
        .. Shown.CheckDay(fitting.On, fitting.Odometer, fitting.Hours, nameof(On)),
        .. Shown.CheckDistance(fitting.Odometer, nameof(Odometer)),
        .. Shown.CheckHours(fitting.Hours, nameof(Hours)),
    ];

    private static IEnumerable<Refusal> CheckVehicle(DateOnly? on, DateSpan? built, DateOnly? goneOn)
    {
        if (on < built?.First)
        {
            yield return new(
                "before-built", nameof(On), $"The vehicle was not built before {built.Value.First:yyyy-MM-dd}.");
        }

        if (on > goneOn)
        {
            yield return new("after-gone", nameof(On), $"The vehicle has been gone since {goneOn:yyyy-MM-dd}.");
        }
    }
}
