using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>
/// Times in which a vehicle stands, and trips it is to make: both change when a distance is reached, and nothing else.
/// And how warm it was kept, which can only bring a day forward.
/// </summary>
internal static class PeriodEndpoints
{
    private const string Tag = "Use";
    private const string Description =
        "When a vehicle stands and which trips are planned: both move the day on which a distance is reached.";

    public static void MapPeriods(this IEndpointRouteBuilder v1)
    {
        var standing = v1.MapResource($"/vehicles/{{vehicleId:guid}}/{Standing.Path}", Tag, Description);
        standing.MapGet("", Standing.List)
            .ForReaders()
            .Named("listStandingPeriods", "When the vehicle stood or will stand");
        standing.MapPost("", Standing.Create)
            .ForOfficers()
            .Named("createStandingPeriod", "Note that the vehicle stands; age goes on");
        standing.MapGet("/{id:guid}", Standing.Get).ForReaders().Named("getStandingPeriod", "One time of standing");
        standing.MapPatch("/{id:guid}", Standing.Patch)
            .ForOfficers()
            .Named("changeStandingPeriod", "Change a time of standing");
        standing.MapDelete("/{id:guid}", Standing.Delete)
            .ForOfficers()
            .Named("removeStandingPeriod", "Remove a time of standing");

        var trips = v1.MapResource($"/vehicles/{{vehicleId:guid}}/{Trips.Path}", Tag, Description);
        trips.MapGet("", Trips.List).ForReaders().Named("listPlannedTrips", "The trips planned for the vehicle");
        trips.MapPost("", Trips.Create)
            .ForOfficers()
            .Named("createPlannedTrip", "Plan a trip; its distance counts from its first day");
        trips.MapGet("/{id:guid}", Trips.Get).ForReaders().Named("getPlannedTrip", "One planned trip");
        trips.MapPatch("/{id:guid}", Trips.Patch).ForOfficers().Named("changePlannedTrip", "Change a planned trip");
        trips.MapDelete("/{id:guid}", Trips.Delete).ForOfficers().Named("removePlannedTrip", "Remove a planned trip");

        var temperatures = v1.MapResource(
            $"/vehicles/{{vehicleId:guid}}/{Temperatures.Path}", "Temperatures",
            "How warm a vehicle was kept. It counts where the vehicle's heatAgeing says so.");
        temperatures.MapGet("", Temperatures.List)
            .ForReaders()
            .Named("listTemperatures", "How warm the vehicle was kept, and when");
        temperatures.MapPost("", Temperatures.Create)
            .ForOfficers()
            .Named("createTemperature", "Note how warm the vehicle was kept; it can only shorten a life");
        temperatures.MapGet("/{id:guid}", Temperatures.Get)
            .ForReaders()
            .Named("getTemperature", "One period with its temperature");
        temperatures.MapPatch("/{id:guid}", Temperatures.Patch)
            .ForOfficers()
            .Named("changeTemperature", "Correct a period or its temperature");
        temperatures.MapDelete("/{id:guid}", Temperatures.Delete)
            .ForOfficers()
            .Named("removeTemperature", "Withdraw a period with its temperature");
    }

    private static readonly Periods<TemperatureRequest, TemperatureReply> Temperatures = new()
    {
        Kind = VehiclePeriodKind.Temperature,
        Path = "temperatures",
        Request = (p, _) => new(p.FromOn, (p.MilliCelsius ?? 0) / 1000m, p.UntilOn, p.Name),
        Reply = (p, _) => new(p.Id, p.FromOn, p.UntilOn, (p.MilliCelsius ?? 0) / 1000m, p.Name),
        Write = (p, wanted) =>
        {
            (p.FromOn, p.UntilOn, p.Name) = (wanted.From, wanted.To, wanted.Name);

            // Upwards: stored, it must not get cooler.
            p.MilliCelsius = (int)decimal.Ceiling(wanted.Celsius * 1000m);
        },
    };

    private static readonly Periods<StandingPeriodRequest, StandingPeriodReply> Standing = new()
    {
        Kind = VehiclePeriodKind.Standing,
        Path = "standing-periods",
        Request = (p, _) => new(p.FromOn, p.UntilOn, p.Name),
        Reply = (p, _) => new(p.Id, p.FromOn, p.UntilOn, p.Name),
        Write = (p, wanted) => (p.FromOn, p.UntilOn, p.Name) = (wanted.From, wanted.To, wanted.Name),
    };

    private static readonly Periods<PlannedTripRequest, PlannedTripReply> Trips = new()
    {
        Kind = VehiclePeriodKind.Trip,
        Path = "planned-trips",
        Request = (p, unit) => new(p.FromOn, Shown(p, unit), p.UntilOn, p.Name),
        Reply = (p, unit) => new(p.Id, p.FromOn, p.UntilOn ?? p.FromOn, Shown(p, unit), p.Name),
        Write = (p, wanted) =>
        {
            (p.FromOn, p.UntilOn, p.Name) = (wanted.From, wanted.To, wanted.Name);

            // Upwards: a trip must not get shorter by being stored.
            p.Metres = (long)decimal.Ceiling(wanted.Distance.ToDistance().Kilometres * 1000m);
        },
    };

    private static WireDistance Shown(VehiclePeriod trip, DistanceUnit unit) =>
        WireDistance.From(new Distance((trip.Metres ?? 0) / 1000m), unit);
}
