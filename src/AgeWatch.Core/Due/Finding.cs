using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>What an inspection saw on a day.</summary>
/// <remarks>A finding can only shorten a life. A pass starts the inspection interval anew and moves no other
/// limit.</remarks>
public sealed record Finding
{
    public required DateOnly On { get; init; }

    public required FindingGrade Grade { get; init; }

    /// <summary>The sign seen, in the words of the kind's list.</summary>
    public string? Sign { get; init; }

    public Measurement? Measured { get; init; }

    public ShownDistance? Odometer { get; init; }

    /// <summary>What the hours meter showed.</summary>
    public decimal? Hours { get; init; }

    internal HoursReading? ShownHours => Hours is { } hours ? new(On, hours) : null;

    public string? Note { get; init; }

    public string? FoundBy { get; init; }
}

/// <param name="Unit">As written: mm, in, C, F, V, ratio, % …</param>
/// <param name="Measure">What was measured, as the key of the kind's thresholds: <c>tread-depth</c>. Null when the kind
/// has only one.</param>
/// <param name="Case">The class or size it belongs to: <c>dot-4</c>. Null when not known.</param>
public readonly record struct Measurement(decimal Value, string Unit, string? Measure = null, string? Case = null);
