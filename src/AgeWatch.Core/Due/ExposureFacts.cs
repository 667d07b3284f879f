namespace AgeWatch.Core.Due;

/// <summary>A temperature history that may shorten the life of rubber and fluids, never lengthen it.</summary>
public sealed record ExposureFacts
{
    public required IReadOnlyList<ExposureSegment> Segments { get; init; }

    /// <summary>Degrees Celsius at which the limit is taken to hold.</summary>
    public double ReferenceCelsius { get; init; } = 20;

    /// <summary>Electronvolts. Without <see cref="Source"/> it counts for nothing.</summary>
    public required double ActivationEnergy { get; init; }

    /// <summary>Electronvolts above and below, zero or more: the early day takes the higher end, the late day the
    /// lower.</summary>
    public double Spread { get; init; }

    internal double Highest => ActivationEnergy + Spread;

    internal double Lowest => Math.Max(0, ActivationEnergy - Spread);

    /// <summary>Where the activation energy was published.</summary>
    public required string Source { get; init; }
}

/// <param name="From">Included.</param>
/// <param name="Until">Included; <see cref="DateOnly.MaxValue"/>: no end is known.</param>
/// <param name="Celsius">Mean kinetic temperature. An ordinary mean over warm and cold days reads too low.</param>
public sealed record ExposureSegment(DateOnly From, DateOnly Until, double Celsius);
