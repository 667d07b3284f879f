namespace AgeWatch.Core.Catalogue;

/// <summary>Where the date mark of a kind is and how it can be written.</summary>
public sealed record KindMark
{
    public required string Where { get; init; }

    public required string Note { get; init; }

    /// <summary>Keys of the conventions usual on this kind. They order the readings; they exclude nothing.</summary>
    public required IReadOnlyList<string> Likely { get; init; }

    /// <summary>Keys of further conventions that are met on it. Both lists empty: nothing is known, every convention
    /// may apply.</summary>
    public required IReadOnlyList<string> Possible { get; init; }
}
