using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Feeds;

/// <summary>One due state as a feed shows it. No plate, chassis number, member or address: a secret address gets
/// around.</summary>
internal sealed record FeedRow
{
    public required Guid ClubId { get; init; }

    public required Guid SubjectId { get; init; }

    public required string Vehicle { get; init; }

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

    /// <summary>The last time the work was done; null for a part, which is a new one when it is
    /// replaced.</summary>
    public required DateOnly? Cycle { get; init; }

    public string Part => PartCatalogue.BuiltIn.Find(PartKind)?.Name ?? PartKind;
}
