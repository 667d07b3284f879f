namespace AgeWatch.Core.Catalogue;

/// <summary>A limit set by law in one country. It stands before every other number.</summary>
public sealed record CountryLaw
{
    public required string Id { get; init; }

    /// <summary>ISO 3166-1 alpha-2.</summary>
    public required string Country { get; init; }

    public required string PartKind { get; init; }

    /// <summary>The vehicles, classes or approvals it holds for, in words; the part kind stands for them.</summary>
    public required string AppliesTo { get; init; }

    public required LimitLevel Level { get; init; }

    /// <summary>What it counts from; a regulatory day is named in <see cref="Note"/>.</summary>
    public required AgeAnchor Anchor { get; init; }

    public required int Months { get; init; }

    public EndRule End { get; init; }

    /// <summary>A lawful test starts the count anew.</summary>
    public bool Repeats { get; init; }

    /// <summary>First day in force; null: the source does not say.</summary>
    public DateOnly? ValidFrom { get; init; }

    /// <summary>Last day in force, included; null: still in force as far as the source says.</summary>
    public DateOnly? ValidUntil { get; init; }

    public required string Reference { get; init; }

    public required string Note { get; init; }

    /// <summary>A law is a law; how well its text is known stands in the reference.</summary>
    public static Tag Tag => Tag.Law;

    public bool IsInForce(DateOnly day) =>
        (ValidFrom is not { } from || from <= day) && (ValidUntil is not { } until || day <= until);
}
