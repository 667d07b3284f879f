namespace AgeWatch.Core.Usage;

/// <summary>An odometer on a vehicle. A vehicle can have had several.</summary>
public sealed record Odometer
{
    public required string Id { get; init; }

    public DistanceUnit Unit { get; init; }

    /// <summary>Whole-number drums without tenths: 5 wraps after 99,999. Null: not known, so no rollover is ever
    /// assumed.</summary>
    public int? Digits { get; init; }

    public DateOnly? FittedOn { get; init; }

    public DateOnly? RemovedOn { get; init; }
}

/// <summary>What an odometer showed on a day.</summary>
/// <param name="Value">As shown, in <paramref name="Unit"/>.</param>
/// <param name="Instrument">Id of the odometer; null when the vehicle has only one, or the day tells which.</param>
public sealed record ShownDistance(DateOnly On, decimal Value, DistanceUnit Unit, string? Instrument = null);

/// <summary>A day of the year. 29 February counts as 28 in a common year.</summary>
/// <param name="Month">1 to 12.</param>
/// <param name="Day">1 to 31.</param>
public readonly record struct MonthDay(int Month, int Day);

/// <summary>The part of the year in which the vehicle is used, both days included; it may run over the new
/// year.</summary>
public sealed record Season(MonthDay From, MonthDay To);

/// <summary>A time in which the vehicle does not move; age goes on.</summary>
/// <param name="Until">Included; null: still standing.</param>
public sealed record StandingPeriod(DateOnly From, DateOnly? Until);

/// <summary>A trip that adds its distance on its days, on top of ordinary use.</summary>
/// <param name="Until">Included.</param>
public sealed record PlannedTrip(DateOnly From, DateOnly Until, Distance Distance);

/// <summary>All that is known about how far a vehicle goes.</summary>
public sealed record UsageFacts
{
    public static UsageFacts None { get; } = new();

    public IReadOnlyList<Odometer> Instruments { get; init; } = [];

    public IReadOnlyList<ShownDistance> Readings { get; init; } = [];

    public Season? Season { get; init; }

    public IReadOnlyList<StandingPeriod> Standing { get; init; } = [];

    public IReadOnlyList<PlannedTrip> PlannedTrips { get; init; } = [];

    /// <summary>What the owner says it does in a year.</summary>
    public Distance? DeclaredPerYear { get; init; }

    /// <summary>The club's figure for such vehicles, which hardly any of them exceeds; it counts only with too few
    /// readings.</summary>
    public Distance? FleetPerYear { get; init; }

    /// <summary>
    /// The most that can be believed for a day, per day of the gap between two readings. Null: five times the
    /// vehicle's own rate, at least 40 km and what is declared (common practice).
    /// </summary>
    public Distance? MaxPerDay { get; init; }
}
