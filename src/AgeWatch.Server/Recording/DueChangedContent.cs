using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Recording;

internal sealed record DueChangedContent
{
    public required Guid SubjectId { get; init; }

    public required SubjectKind SubjectKind { get; init; }

    public required Guid? VehicleId { get; init; }

    public required string PartKind { get; init; }

    public required HazardClass Hazard { get; init; }

    /// <summary>Null: new.</summary>
    public required DueState? Before { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>What stands behind the state; null: no limit does.</summary>
    public required Force? Force { get; init; }

    public required DateOnly? DueEarliest { get; init; }

    public required DateOnly? DueLatest { get; init; }
}
