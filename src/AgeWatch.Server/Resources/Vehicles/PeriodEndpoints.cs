using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
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
        Take = (p, wanted) =>
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
        Take = (p, wanted) => (p.FromOn, p.UntilOn, p.Name) = (wanted.From, wanted.To, wanted.Name),
    };

    private static readonly Periods<PlannedTripRequest, PlannedTripReply> Trips = new()
    {
        Kind = VehiclePeriodKind.Trip,
        Path = "planned-trips",
        Request = (p, unit) => new(p.FromOn, Shown(p, unit), p.UntilOn, p.Name),
        Reply = (p, unit) => new(p.Id, p.FromOn, p.UntilOn ?? p.FromOn, Shown(p, unit), p.Name),
        Take = (p, wanted) =>
        {
            (p.FromOn, p.UntilOn, p.Name) = (wanted.From, wanted.To, wanted.Name);

            // Upwards: a trip must not get shorter by being stored.
            p.Metres = (long)decimal.Ceiling(wanted.Distance.ToDistance().Kilometres * 1000m);
        },
    };

    private static WireDistance Shown(VehiclePeriod trip, DistanceUnit unit) =>
        WireDistance.From(new Distance((trip.Metres ?? 0) / 1000m), unit);
}

/// <summary>The handlers that both kinds of period share.</summary>
internal sealed class Periods<TRequest, TReply>
    where TRequest : class
    where TReply : class
{
    public required VehiclePeriodKind Kind { get; init; }

    public required string Path { get; init; }

    public required Func<VehiclePeriod, DistanceUnit, TRequest> Request { get; init; }

    public required Func<VehiclePeriod, DistanceUnit, TReply> Reply { get; init; }

    public required Action<VehiclePeriod, TRequest> Take { get; init; }

    public async Task<Results<Page<TReply>, Problem>> List(
        Guid vehicleId, PageQuery page, AgeWatchContext db, CancellationToken stop) =>
        await UnitAsync(db, vehicleId, stop) is { } unit
            ? await page.ReadAsync(
                Of(db, vehicleId).AsNoTracking(), Keyset.By((VehiclePeriod p) => p.FromOn).Then(p => p.Id), p =>
                    Reply(p, unit), stop)
            : Problems.NotFound();

    public async Task<Results<TaggedCreated<TReply>, Problem>> Create(
        Guid vehicleId, Body<TRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await UnitAsync(db, vehicleId, stop) is not { } unit)
        {
            return Problems.NotFound();
        }

        VehiclePeriod period = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            VehicleId = vehicleId,
            Kind = Kind
        };
        Take(period, body.Value);
        db.VehiclePeriods.Add(period);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return Kernel.Http.Reply.Created($"/v1/vehicles/{vehicleId}/{Path}/{period.Id}", period, Reply(period, unit));
    }

    public async Task<Results<Tagged<TReply>, Problem>> Get(
        Guid vehicleId, Guid id, AgeWatchContext db, CancellationToken stop) =>
        await FindAsync(db, vehicleId, id, stop) is var (period, unit)
            ? Kernel.Http.Reply.Of(period, Reply(period, unit))
            : Problems.NotFound();

    public async Task<Results<Tagged<TReply>, Problem>> Patch(
        Guid vehicleId, Guid id, Change<TRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await FindAsync(db, vehicleId, id, stop) is not var (period, unit))
        {
            return Problems.NotFound();
        }

        var current = Request(period, unit);
        if (!change.TryApply(period, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (!wanted.Equals(current))
        {
            Take(period, wanted);
            await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        }

        return Kernel.Http.Reply.Of(period, Reply(period, unit));
    }

    public async Task<Results<NoContent, Problem>> Delete(
        Guid vehicleId, Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await FindAsync(db, vehicleId, id, stop) is not var (period, _))
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(period, out var problem))
        {
            return problem;
        }

        db.VehiclePeriods.Remove(period);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return TypedResults.NoContent();
    }

    private IQueryable<VehiclePeriod> Of(AgeWatchContext db, Guid vehicleId)
    {
        var kind = Kind;
        return db.VehiclePeriods.Where(p => p.VehicleId == vehicleId && p.Kind == kind);
    }

    private async Task<(VehiclePeriod Period, DistanceUnit Unit)?> FindAsync(
        AgeWatchContext db, Guid vehicleId, Guid id, CancellationToken stop) =>
        await UnitAsync(db, vehicleId, stop) is { } unit
        && await Of(db, vehicleId).SingleOrDefaultAsync(p => p.Id == id, stop) is { } period
            ? (period, unit)
            : null;

    private static Task<DistanceUnit?> UnitAsync(
        AgeWatchContext db, Guid vehicleId, CancellationToken stop) =>
        db.Vehicles.Where(v => v.Id == vehicleId)
            .Select(v => (DistanceUnit?)v.DistanceUnit)
            .SingleOrDefaultAsync(stop);
}

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
