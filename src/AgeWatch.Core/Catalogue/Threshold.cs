namespace AgeWatch.Core.Catalogue;

/// <summary>A published value that a measurement or a sign is compared with.</summary>
public sealed record Threshold
{
    public required string Id { get; init; }

    /// <summary>What is measured, for people.</summary>
    public required string Quantity { get; init; }

    public required ThresholdUse Use { get; init; }

    /// <summary>What is measured, as a key: <c>tread-depth</c>. Null for intervals.</summary>
    public string? Measure { get; init; }

    /// <summary>The class or size it holds for: <c>dot-4</c>, <c>wheel-18-in</c>. Null: it holds for all.</summary>
    public string? Case { get; init; }

    public required Comparison Comparison { get; init; }

    /// <summary>The value, or the lower end of a range; in <see cref="Unit"/>. The limit itself passes, but for <see
    /// cref="Comparison.Below"/>.</summary>
    public required decimal Value { get; init; }

    /// <summary>The upper end of a range, included; null when there is no range.</summary>
    public decimal? UpTo { get; init; }

    public required string Unit { get; init; }

    public required Tag Tag { get; init; }

    public required string Reference { get; init; }

    public required string Note { get; init; }

    /// <summary>Country codes, or <c>EU</c>, where a rule says so; empty: not tied to a place.</summary>
    public required IReadOnlyList<string> Jurisdictions { get; init; }

    /// <summary>Keys of the kinds it speaks of.</summary>
    public required IReadOnlyList<string> PartKinds { get; init; }

    /// <summary>True when the value is on the good side. <see cref="Comparison.About"/> tests nothing and
    /// passes.</summary>
    /// <param name="measured">In <see cref="Unit"/>; for a sign, how many were seen.</param>
    public bool Passes(decimal measured) => Comparison switch
    {
        Comparison.AtLeast => measured >= Value,
        Comparison.AtMost => measured <= Value,
        Comparison.Below => measured < Value,
        Comparison.About => true,
        Comparison.NoneSeen => measured <= 0,
        Comparison.Within => Value <= measured && measured <= UpTo,
    };
}

/// <summary>What a threshold is for.</summary>
public enum ThresholdUse
{
    /// <summary>A measured value or sign on the wrong side of it fails the part.</summary>
    Criterion,

    /// <summary>A point on a scale that helps to read a value; passing or failing it decides nothing alone.</summary>
    Scale,

    /// <summary>A published interval or age; it restates or stands beside a limit of the kind.</summary>
    Interval,
}

public enum Comparison
{
    AtLeast,
    AtMost,
    Below,
    About,
    NoneSeen,

    /// <summary>Both ends included.</summary>
    Within,
}
