using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>What is known of the vehicle that a component or service task belongs to.</summary>
public sealed record VehicleFacts
{
    /// <summary>Nothing known.</summary>
    public static VehicleFacts Unknown { get; } = new();

    /// <summary>The day, month or year it was built; null when not known.</summary>
    public DateSpan? Built { get; init; }

    /// <summary>ISO 3166-1 alpha-2; whose law holds. Null: no country's law is applied, and every country's thresholds
    /// are.</summary>
    public string? Country { get; init; }

    /// <summary>First registration.</summary>
    public DateOnly? RegisteredOn { get; init; }

    /// <summary>The unit in which distances are shown.</summary>
    public DistanceUnit DistanceUnit { get; init; }

    /// <summary>Odometers, readings and how the vehicle is used.</summary>
    public UsageFacts Usage { get; init; } = UsageFacts.None;

    /// <summary>Running-hours meter readings.</summary>
    public IReadOnlyList<HoursReading> HoursReadings { get; init; } = [];

    /// <summary>How it is kept. It may only shorten a life.</summary>
    public IReadOnlyList<StorageCondition> Storage { get; init; } = [];

    /// <summary>Crashes and fires: some parts are not used again after one.</summary>
    public IReadOnlyList<Happening> Happenings { get; init; } = [];

    /// <summary>A temperature history; null: it plays no part.</summary>
    public ExposureFacts? Exposure { get; init; }
}

public readonly record struct Happening(LifeEvent Event, DateOnly On);

/// <param name="Hours">Running hours shown, zero or more.</param>
public readonly record struct HoursReading(DateOnly On, decimal Hours);

public enum StorageCondition
{
    Heated,
    Unheated,
    Outdoors,
    Hot,
    Salt,

    /// <summary>Near motors, welders or chargers that make ozone.</summary>
    OzoneSource,
}
