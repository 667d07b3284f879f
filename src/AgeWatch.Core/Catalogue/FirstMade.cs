namespace AgeWatch.Core.Catalogue;

/// <summary>
/// The first year in which such a part, or its material, was made for cars. It bounds what a mark is believed to say,
/// and starts no clock.
/// </summary>
public sealed record FirstMade
{
    /// <summary>A cautious one: the earliest that is known, less a few years.</summary>
    public required int Year { get; init; }

    public required Tag Tag { get; init; }

    /// <summary>Id of the reference; null: common practice without a source, or from memory.</summary>
    public required string? Reference { get; init; }

    /// <summary>What the year rests on, in a clause.</summary>
    public required string Why { get; init; }
}
