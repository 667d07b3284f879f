using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>What an inspection saw on a day.</summary>
/// <remarks>A finding can only shorten a life. A pass starts the inspection interval anew and moves no other limit.</remarks>
public sealed record Finding
{
    public required DateOnly On { get; init; }

    public required FindingGrade Grade { get; init; }

    /// <summary>The sign seen, in the words of the kind's list.</summary>
    public string? Sign { get; init; }

    public Measurement? Measured { get; init; }

    public ShownDistance? Odometer { get; init; }

    public string? Note { get; init; }

    public string? FoundBy { get; init; }
}

/// <param name="Quantity">What was measured, in the words of the kind's thresholds; null when the kind has only one.</param>
/// <param name="Unit">As written: mm, in, C, F, V, ratio, bar …</param>
public readonly record struct Measurement(decimal Value, string Unit, string? Quantity = null);

public enum Comparison
{
    AtLeast,
    AtMost,
    LessThan,

    /// <summary>Between <see cref="Threshold.Value"/> and <see cref="Threshold.Upper"/>, both included.</summary>
    Within,
}

/// <summary>A published line that a measured value must keep to.</summary>
/// <remarks>Exactly on the line passes for at-least, at-most and within.</remarks>
public sealed record Threshold
{
    public required string Id { get; init; }

    public required string Quantity { get; init; }

    public required Comparison Comparison { get; init; }

    public required decimal Value { get; init; }

    public decimal? Upper { get; init; }

    public required string Unit { get; init; }

    /// <summary>ISO 3166-1 alpha-2 codes where it holds; empty: everywhere.</summary>
    public IReadOnlyList<string> Countries { get; init; } = [];

    /// <summary>What a value that breaks it makes of the finding, if the inspector graded it better.</summary>
    public FindingGrade Breaks { get; init; } = FindingGrade.Fail;

    public required Tag Tag { get; init; }

    public string? Reference { get; init; }
}
