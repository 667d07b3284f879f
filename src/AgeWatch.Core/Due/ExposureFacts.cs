namespace AgeWatch.Core.Due;

/// <summary>A temperature history that may shorten the life of rubber and fluids, never lengthen it.</summary>
public sealed record ExposureFacts
{
    public required IReadOnlyList<ExposureSegment> Segments { get; init; }

    /// <summary>Degrees Celsius at which the limit is taken to hold.</summary>
    public double ReferenceCelsius { get; init; } = 20;

    /// <summary>Electronvolts. Without <see cref="Source"/> it counts for nothing.</summary>
    public required double ActivationEnergy { get; init; }

    /// <summary>Electronvolts above and below; shown with the result.</summary>
    public double Spread { get; init; }

    /// <summary>Where the activation energy was published.</summary>
    public required string Source { get; init; }
}

/// <param name="From">Included.</param>
/// <param name="Until">Included.</param>
public sealed record ExposureSegment(DateOnly From, DateOnly Until, double Celsius);
