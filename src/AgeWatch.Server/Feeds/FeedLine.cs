using AgeWatch.Core;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Feeds;

/// <summary>A line of the feed that is read by programs: what the table says, in the words of the API.</summary>
internal sealed record FeedLine
{
    public required string Vehicle { get; init; }

    public required string Part { get; init; }

    public required string PartKind { get; init; }

    public required string? Position { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>What stands behind the state; null: no limit does.</summary>
    public required Force? Force { get; init; }

    public required HazardClass Hazard { get; init; }

    public required DateOnly? DueEarliest { get; init; }

    public required DateOnly? DueLatest { get; init; }

    public required DateOnly Since { get; init; }

    public static FeedLine From(FeedRow r) => new()
    {
        Vehicle = r.Vehicle,
        Part = r.Part,
        PartKind = r.PartKind,
        Position = r.Position,
        State = r.State,
        Certainty = r.Certainty,
        Force = r.Force,
        Hazard = r.Hazard,
        DueEarliest = r.DueEarliest,
        DueLatest = r.DueLatest == DateOnly.MaxValue ? null : r.DueLatest,
        Since = r.Since,
    };
}
