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

    public void Check(Complaints complaints)
    {
        if (TakenOffOn is null && TakenOffOdometer is not null)
        {
            complaints.Add(nameof(TakenOffOn), "missing", "takenOffOdometer needs the day.");
        }

        if (TakenOffOn is null && TakenOffHours is not null)
        {
            complaints.Add(nameof(TakenOffOn), "missing", "takenOffHours needs the day.");
        }

        if (On < TakenOffOn)
        {
            complaints.Add(nameof(On), "overlaps", "It cannot be fitted before it was taken off.");
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

/// <param name="On">Null: nobody knows since when.</param>
/// <param name="TakenOffOn">Null: still there.</param>
/// <param name="SwapId">The tyre swap that made it.</param>
/// <param name="Continues">The fitting that this one only carries on: same vehicle, same odometer, so no use
/// between.</param>
internal sealed record FittingReply(
    Guid Id,
    Guid VehicleId,
    string? Position,
    DateOnly? On,
    WireDistance? Odometer,
    DateOnly? TakenOffOn,
    WireDistance? TakenOffOdometer,
    string? TakenOffReason,
    string? NotedBy,
    DateTime RecordedAt,
    Guid? SwapId,
    Guid? Continues,
    decimal? Hours,
    decimal? TakenOffHours)
{
    public static FittingReply From(Fitting f, FittingHistory history) => new(
        f.Id, f.VehicleId, f.Position, f.FittedOn, f.FittedAt(), f.TakenOffOn, f.TakenOffAt(), f.TakenOffReason,
        f.NotedBy, f.RecordedAt, f.SwapId, history.Continued(f)
            ?.Id, FittingDistances.Hours(f.FittedHours), FittingDistances.Hours(f.TakenOffHours));
}
