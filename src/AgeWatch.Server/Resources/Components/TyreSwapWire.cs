using System.ComponentModel.DataAnnotations;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Components;

/// <summary>Two vehicles change their tyres with each other.</summary>
internal sealed record TyreSwapRequest(DateOnly On, [Length(2, 2)] IReadOnlyList<TyreSwapSide> Vehicles) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (Vehicles is [var one, var other] && one.VehicleId == other.VehicleId)
        {
            faults.AddItem(nameof(Vehicles), 1, "doubled", "A swap needs two vehicles.");
        }
    }
}

/// <param name="Odometer">What this vehicle's odometer showed on that day.</param>
/// <param name="ComponentIds">Which parts leave this vehicle; absent: all its tyres with tubes and valves, but not the
/// spare.</param>
internal sealed record TyreSwapSide(
    Guid VehicleId,
    WireDistance? Odometer = null,
    [Length(1, 50)] IReadOnlyList<Guid>? ComponentIds = null);

internal sealed record TyreSwapReply(Guid Id, IReadOnlyList<TyreSwapMove> Moved);

/// <param name="FittingId">The fitting that the swap made.</param>
internal sealed record TyreSwapMove(
    Guid ComponentId, Guid FromVehicleId, Guid ToVehicleId, DateOnly? On, string? Position, Guid FittingId);
