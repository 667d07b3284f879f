using AgeWatch.Core;

namespace AgeWatch.Storage.Components;

/// <summary>The columns of an <see cref="EvidenceItem"/> that answers are made of.</summary>
public sealed class EvidenceSlice
{
    public required Guid Id { get; init; }

    public required Guid ComponentId { get; init; }

    public required EvidenceRowKind Kind { get; init; }

    public required string? Text { get; init; }

    public required string? Convention { get; init; }

    public required DateOnly? On { get; init; }

    public required string? NotedBy { get; init; }

    public required bool? Triangle { get; init; }

    public required long? Thousandths { get; init; }

    public required DistanceUnit? Unit { get; init; }

    public required long? Hours { get; init; }

    public required DateTime RecordedAt { get; init; }
}
