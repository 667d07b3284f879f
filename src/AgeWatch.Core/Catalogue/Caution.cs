namespace AgeWatch.Core.Catalogue;

/// <summary>A warning that belongs on the jobs that need it.</summary>
/// <remarks>It is called for by any one match: the kind's system, an area it opens up, a closed system it opens, or the
/// kind itself.</remarks>
public sealed record Caution
{
    public required string Key { get; init; }

    public required string Title { get; init; }

    /// <summary>Complete by itself: it ends by deferring to local codes and licensed practice.</summary>
    public required string Text { get; init; }

    public required IReadOnlyList<string> Systems { get; init; }

    public required IReadOnlyList<string> Areas { get; init; }

    public required IReadOnlyList<string> Opens { get; init; }

    public required IReadOnlyList<string> PartKinds { get; init; }

    public required Tag Tag { get; init; }

    public required IReadOnlyList<string> References { get; init; }

    internal bool IsCalledForBy(PartKind kind) =>
        Systems.Contains(kind.System) || PartKinds.Contains(kind.Key)
        || Areas.Any(kind.Areas.Contains) || Opens.Any(kind.Opens.Contains);
}
