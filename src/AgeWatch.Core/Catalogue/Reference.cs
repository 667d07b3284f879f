namespace AgeWatch.Core.Catalogue;

/// <summary>A publication that a number or a criterion rests on.</summary>
public sealed record Reference
{
    /// <summary><c>R-</c> and a short name.</summary>
    public required string Id { get; init; }

    /// <summary><see cref="Tag.Standard"/>: its text or a close restatement was read. <see cref="Tag.Memory"/>: it was
    /// not.</summary>
    public required Tag Tag { get; init; }

    public required string Citation { get; init; }

    /// <summary>For people to look up; the program never fetches them.</summary>
    public required IReadOnlyList<string> Urls { get; init; }

    /// <summary>How much of it was read, and in what copy.</summary>
    public required string Seen { get; init; }
}
