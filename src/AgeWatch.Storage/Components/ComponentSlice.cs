namespace AgeWatch.Storage.Components;

/// <summary>The columns of a <see cref="Component"/> that answers and lists are made of.</summary>
public sealed class ComponentSlice
{
    public required Guid Id { get; init; }

    public required Guid? VehicleId { get; init; }

    public required string? Reference { get; init; }

    public required string PartKind { get; init; }

    public required string? Position { get; init; }

    public required bool Original { get; init; }

    public required string? Maker { get; init; }

    public required string? PartNumber { get; init; }

    public required string? Lot { get; init; }
}
