namespace AgeWatch.Core.Records;

/// <summary>A vehicle, as far as what is said of it can be wrong by itself.</summary>
public sealed record VehicleRecord
{
    /// <summary>The day, month or year; null: not known.</summary>
    public required DateSpan? Built { get; init; }

    /// <summary>First registration; null: not known.</summary>
    public required DateOnly? RegisteredOn { get; init; }

    /// <summary>What it runs in a year, in the unit it was given in.</summary>
    public required decimal? DeclaredPerYear { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="latest">The latest day on which it can have been built and registered.</param>
    public static IEnumerable<Refusal> Check(VehicleRecord vehicle, DateOnly latest) =>
    [
        .. PastDay.Check(vehicle.Built?.First, latest, nameof(Built)),
        .. PastDay.Check(vehicle.RegisteredOn, latest, nameof(RegisteredOn)),
        .. Shown.CheckDistance(vehicle.DeclaredPerYear, nameof(DeclaredPerYear)),
    ];
}
