using System.ComponentModel.DataAnnotations;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>A time in which the vehicle does not move; both days included. Age goes on, distance does not.</summary>
/// <param name="To">Absent: still standing; nothing is promised beyond today.</param>
internal sealed record StandingPeriodRequest(
    DateOnly From, DateOnly? To = null, [StringLength(200, MinimumLength = 1), OneLine] string? Name = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (To < From)
        {
            faults.Add(nameof(To), "before-from", "It cannot end before it starts.");
        }
    }
}

internal sealed record StandingPeriodReply(Guid Id, DateOnly From, DateOnly? To, string? Name);

/// <summary>A trip that adds its distance on its days, on top of ordinary use.</summary>
/// <param name="To">Included; absent: one day.</param>
internal sealed record PlannedTripRequest(
    DateOnly From, WireDistance Distance, DateOnly? To = null,
    [StringLength(200, MinimumLength = 1), OneLine] string? Name = null)
        : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (To < From)
        {
            faults.Add(nameof(To), "before-from", "It cannot end before it starts.");
        }

        if (Distance is { Value: 0 })
        {
            faults.Add(nameof(Distance), "out-of-range", "Must be more than nothing.");
        }
    }
}

internal sealed record PlannedTripReply(Guid Id, DateOnly From, DateOnly To, WireDistance Distance, string? Name);

/// <summary>How warm the vehicle was kept from one day to another, both included. Of periods that overlap the warmest
/// counts.</summary>
/// <param name="Celsius">
/// Mean kinetic temperature. An ordinary mean over warm and cold days reads too low: where nothing else is known, give
/// a period for each month with the mean of its days, or the warmest.
/// </param>
/// <param name="To">Absent: it goes on as it is. A period that has not begun does not count yet.</param>
internal sealed record TemperatureRequest(
    DateOnly From,
    [Range(-60, 100)] decimal Celsius,
    DateOnly? To = null,
    [StringLength(200, MinimumLength = 1), OneLine] string? Name = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (To < From)
        {
            faults.Add(nameof(To), "before-from", "It cannot end before it starts.");
        }
    }
}

internal sealed record TemperatureReply(Guid Id, DateOnly From, DateOnly? To, decimal Celsius, string? Name);
