using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A part as it is written down, with what is known of its age.</summary>
/// <param name="PartKind">A key of the catalogue.</param>
/// <param name="Position">Where on the vehicle.</param>
/// <param name="Original">It left the factory on this vehicle.</param>
/// <param name="Lot">The batch, for bulletins.</param>
/// <param name="Reference">The club's own name for it, unique in the club.</param>
/// <param name="Evidence">Taken when the part is made; later it has an address of its own.</param>
internal sealed record ComponentRequest(
    [StringLength(64, MinimumLength = 1), OneLine] string PartKind,
    [StringLength(100, MinimumLength = 1), OneLine] string? Position = null,
    bool Original = false,
    [StringLength(100, MinimumLength = 1), OneLine] string? Maker = null,
    [StringLength(100, MinimumLength = 1), OneLine] string? PartNumber = null,
    [StringLength(100, MinimumLength = 1), OneLine] string? Lot = null,
    [StringLength(100, MinimumLength = 1), OneLine] string? Reference = null,
    [StringLength(4000)] string? Notes = null,
    [MaxLength(50)] IReadOnlyList<EvidenceRequest>? Evidence = null)
{
    /// <summary>Without evidence: that has an address of its own.</summary>
    public static ComponentRequest From(Component c) =>
        new(c.PartKind, c.Position, c.Original, c.Maker, c.PartNumber, c.Lot, c.Reference, c.Notes);

    public void WriteTo(Component c, DateTime now)
    {
        c.PartKind = PartKind;
        c.Position = Position;
        c.Original = Original;
        c.Maker = Maker;
        c.PartNumber = PartNumber;
        c.Lot = Lot;
        c.Reference = Reference;
        c.Notes = Notes;
        c.UpdatedAt = now;
    }

    public ComponentRecord ToRecord(bool isOnVehicle, bool wasOnVehicle) => new()
    {
        IsOnVehicle = isOnVehicle,
        WasOnVehicle = wasOnVehicle,
        Original = Original,
        Evidence = [.. (Evidence ?? []).Select(e => e.Kind)],
    };
}

internal sealed record ComponentReply
{
    public required Guid Id { get; init; }

    public required string PartKind { get; init; }

    public required ComponentPlace Place { get; init; }

    public required Guid? VehicleId { get; init; }

    public required string? Position { get; init; }

    public required bool Original { get; init; }

    public required string? Maker { get; init; }

    public required string? PartNumber { get; init; }

    public required string? Lot { get; init; }

    public required string? Reference { get; init; }

    public required string? Notes { get; init; }

    /// <summary>What still stands; all that was ever noted is under the part's evidence address.</summary>
    public required IReadOnlyList<EvidenceReply> Evidence { get; init; }

    /// <summary>The present one.</summary>
    public required FittingReply? Fitting { get; init; }

    public required DateOnly? DiscardedOn { get; init; }

    public required string? DiscardReason { get; init; }

    public required DateTime CreatedAt { get; init; }

    public required DateTime UpdatedAt { get; init; }

    public static ComponentReply From(Component c, IEnumerable<EvidenceItem> evidence, IEnumerable<Fitting> fittings)
    {
        FittingHistory history = new(fittings);
        return new()
        {
            Id = c.Id,
            PartKind = c.PartKind,
            Place = c.Place,
            VehicleId = c.VehicleId,
            Position = c.Position,
            Original = c.Original,
            Maker = c.Maker,
            PartNumber = c.PartNumber,
            Lot = c.Lot,
            Reference = c.Reference,
            Notes = c.Notes,
            Evidence = [.. evidence.OrderBy(e => e.Id).Select(EvidenceReply.From)],
            Fitting = history.Current is { } current ? FittingReply.From(current, history) : null,
            DiscardedOn = c.DiscardedOn,
            DiscardReason = c.DiscardReason,
            CreatedAt = c.CreatedAt,
            UpdatedAt = c.UpdatedAt,
        };
    }
}

/// <summary>Texts are compared without regard to case: a lot typed in small letters must not hide a car.</summary>
internal sealed record ComponentFilter(
    string? PartKind = null,
    string? Lot = null,
    string? Maker = null,
    string? PartNumber = null,
    string? Reference = null,
    ComponentPlace? Place = null,
    Guid? VehicleId = null);

internal sealed record FittedFilter(string? PartKind = null);
