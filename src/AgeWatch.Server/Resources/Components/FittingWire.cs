using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A part goes onto a vehicle.</summary>
/// <param name="Position">Absent: where it was before.</param>
/// <param name="Odometer">What the vehicle's odometer showed.</param>
/// <param name="TakenOffOn">Needed when it is on a vehicle now: the day it came off there.</param>
/// <param name="TakenOffOdometer">What that vehicle's odometer showed.</param>
/// <param name="Hours">What the vehicle's hours meter showed.</param>
/// <param name="TakenOffHours">What the hours meter of the vehicle showed that it came off.</param>
internal sealed record FittingRequest(
    Guid VehicleId,
    DateOnly On,
    [StringLength(100, MinimumLength = 1), OneLine] string? Position = null,
    WireDistance? Odometer = null,
    DateOnly? TakenOffOn = null,
    WireDistance? TakenOffOdometer = null,
    [StringLength(200), OneLine] string? NotedBy = null,
    [Range(0, Shown.MostHours)] decimal? Hours = null,
    [Range(0, Shown.MostHours)] decimal? TakenOffHours = null) : IChecked
{
    public FittingRecord ToRecord() => new() { On = On, Odometer = Odometer?.Value, Hours = Hours };

    public void Check(FieldFaults faults)
    {
        if (TakenOffOn is null && TakenOffOdometer is not null)
        {
            faults.Add(nameof(TakenOffOn), "missing", "takenOffOdometer needs the day.");
        }

        if (TakenOffOn is null && TakenOffHours is not null)
        {
            faults.Add(nameof(TakenOffOn), "missing", "takenOffHours needs the day.");
        }

        if (On < TakenOffOn)
        {
            faults.Add(nameof(On), "overlaps", "It cannot be fitted before it was taken off.");
        }
    }
}

/// <summary>A fitting written down wrongly is put right; the vehicle stays.</summary>
/// <param name="On">Absent: nobody knows since when.</param>
internal sealed record FittingChange(
    [StringLength(100, MinimumLength = 1), OneLine] string? Position = null,
    DateOnly? On = null,
    WireDistance? Odometer = null,
    DateOnly? TakenOffOn = null,
    WireDistance? TakenOffOdometer = null,
    [StringLength(1000, MinimumLength = 1), OneLine] string? TakenOffReason = null,
    [StringLength(200), OneLine] string? NotedBy = null,
    [Range(0, Shown.MostHours)] decimal? Hours = null,
    [Range(0, Shown.MostHours)] decimal? TakenOffHours = null)
{
    public FittingRecord ToRecord() => new() { On = On, Odometer = Odometer?.Value, Hours = Hours };

    public static FittingChange From(Fitting f) =>
        new(
            f.Position, f.FittedOn, f.FittedAt(), f.TakenOffOn, f.TakenOffAt(), f.TakenOffReason, f.NotedBy,
            FittingDistances.Hours(f.FittedHours), FittingDistances.Hours(f.TakenOffHours));
}

internal enum TakeOffTo
{
    Shelf,
    Discarded,
}

/// <param name="Hours">What the vehicle's hours meter showed.</param>
internal sealed record TakeOffRequest(
    DateOnly On,
    TakeOffTo To,
    WireDistance? Odometer = null,
    [StringLength(1000, MinimumLength = 1), OneLine] string? Reason = null,
    [Range(0, Shown.MostHours)] decimal? Hours = null);

internal sealed record FittingReply
{
    public required Guid Id { get; init; }

    public required Guid VehicleId { get; init; }

    public required string? Position { get; init; }

    /// <summary>Null: nobody knows since when.</summary>
    public required DateOnly? On { get; init; }

    public required WireDistance? Odometer { get; init; }

    /// <summary>Null: still there.</summary>
    public required DateOnly? TakenOffOn { get; init; }

    public required WireDistance? TakenOffOdometer { get; init; }

    public required string? TakenOffReason { get; init; }

    public required string? NotedBy { get; init; }

    public required DateTime RecordedAt { get; init; }

    /// <summary>The tyre swap that made it.</summary>
    public required Guid? SwapId { get; init; }

    /// <summary>The fitting that this one only carries on: same vehicle, same odometer, so no use
    /// between.</summary>
    public required Guid? Continues { get; init; }

    public required decimal? Hours { get; init; }

    public required decimal? TakenOffHours { get; init; }

    public static FittingReply From(Fitting f, FittingHistory history) => new()
    {
        Id = f.Id,
        VehicleId = f.VehicleId,
        Position = f.Position,
        On = f.FittedOn,
        Odometer = f.FittedAt(),
        TakenOffOn = f.TakenOffOn,
        TakenOffOdometer = f.TakenOffAt(),
        TakenOffReason = f.TakenOffReason,
        NotedBy = f.NotedBy,
        RecordedAt = f.RecordedAt,
        SwapId = f.SwapId,
        Continues = history.Continued(f)?.Id,
        Hours = FittingDistances.Hours(f.FittedHours),
        TakenOffHours = FittingDistances.Hours(f.TakenOffHours),
    };
}
