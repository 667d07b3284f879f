using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Vehicles;

internal static class VehicleEndpoints
{
    public static void MapVehicles(this IEndpointRouteBuilder v1)
    {
        var vehicles = v1.MapResource("/vehicles", "Vehicles", "Cars, vans, motorcycles, trailers and caravans.");
        vehicles.MapGet("", List).ForReaders().Named("listVehicles", "The vehicles of the club");
        vehicles.MapPost("", Create).ForOfficers().Named("createVehicle", "Add a vehicle");
        vehicles.MapGet("/{id:guid}", Get).ForReaders().Named("getVehicle", "One vehicle");
        vehicles.MapPatch("/{id:guid}", Patch).ForOfficers().Named("changeVehicle", "Change a vehicle");
        vehicles.MapDelete("/{id:guid}", Delete)
            .ForOfficers()
            .Named("removeVehicle", "Remove a vehicle entered by mistake");
    }

    private static Task<Page<VehicleReply>> List(
        Query<VehicleFilter> query, PageQuery page, AgeWatchContext db, CancellationToken stop)
    {
        var filter = query.Value;
        var vehicles = db.Vehicles.AsNoTracking();
        vehicles = filter.MemberId is { } member ? vehicles.Where(v => v.MemberId == member) : vehicles;
        vehicles = filter.Reference is { } reference ? vehicles.Where(v => v.Reference == reference) : vehicles;
        vehicles = filter.Kind is { } kind ? vehicles.Where(v => v.Kind == kind) : vehicles;
        return page.ReadAsync(vehicles, Keyset.By((Vehicle v) => v.Id), v => VehicleReply.From(v), stop);
    }

    private static async Task<Results<TaggedCreated<VehicleReply>, Problem>> Create(
        Body<VehicleRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        var now = clock.GetUtcNow().UtcDateTime;
        var vehicle = new Vehicle
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            Name = body.Value.Name,
            CreatedAt = now,
        };
        if (await Obstacle(body.Value, vehicle, db, writer, stop) is { } obstacle)
        {
            return obstacle;
        }

        body.Value.WriteTo(vehicle, now);
        db.Vehicles.Add(vehicle);
        db.Instruments.Add(DefaultInstrument(vehicle, clock));
        await writer.SaveAsync(caller.ClubId, vehicle.Id, stop);
        return Reply.Created($"/v1/vehicles/{vehicle.Id}", vehicle, VehicleReply.From(vehicle));
    }

    private static async Task<Results<Tagged<VehicleReply>, Problem>> Get(
        Guid id, AgeWatchContext db, CancellationToken stop) =>
        await db.Vehicles.AsNoTracking()
            .SingleOrDefaultAsync(v => v.Id == id, stop) is { } vehicle
            ? Reply.Of(vehicle, VehicleReply.From(vehicle))
            : Problems.NotFound();

    private static async Task<Results<Tagged<VehicleReply>, Problem>> Patch(
        Guid id, Change<VehicleRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.Vehicles.SingleOrDefaultAsync(v =>
            v.Id == id, stop) is not { } vehicle)
        {
            return Problems.NotFound();
        }

        if (!change.TryApply(vehicle, VehicleRequest.From(vehicle), out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != VehicleRequest.From(vehicle))
        {
            if (await Obstacle(wanted, vehicle, db, writer, stop) is { } obstacle)
            {
                return obstacle;
            }

            if (vehicle.MemberId is { } former && wanted.MemberId != former)
            {
                // Whoever parts with a car is told no more of it, unless an officer asks for it anew.
                db.Subscriptions.RemoveRange(await db.Subscriptions
                    .Where(s =>
                        s.VehicleId == id && s.MemberId == former).ToListAsync(stop));
            }

            wanted.WriteTo(vehicle, clock.GetUtcNow().UtcDateTime);
            await writer.SaveAsync(caller.ClubId, id, stop);
        }

        return Reply.Of(vehicle, VehicleReply.From(vehicle));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (await db.Vehicles.SingleOrDefaultAsync(v =>
            v.Id == id, stop) is not { } vehicle)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(vehicle, out var problem))
        {
            return problem;
        }

        var elsewhere = await db.Fittings.CountAsync(
            f => f.VehicleId == id
                && !db.Components.Any(c => c.Id == f.ComponentId && c.VehicleId == id),
            stop);
        if (elsewhere > 0)
        {
            return Problems.Conflict(
                $"{elsewhere} part(s) that are now elsewhere have part of their life on this vehicle; removing it "
                    + "would make them look younger. Set goneOn instead: the record stays and nobody is warned.");
        }

        db.Fittings.RemoveRange(
            await db.Fittings.Where(f => f.VehicleId == id).ToListAsync(stop));
        db.Vehicles.Remove(vehicle);
        await writer.SaveAsync(caller.ClubId, id, stop);
        return TypedResults.NoContent();
    }

    internal static Instrument DefaultInstrument(Vehicle vehicle, TimeProvider clock) => new()
    {
        ClubId = vehicle.ClubId,
        Id = Guid.CreateVersion7(clock.GetUtcNow()),
        VehicleId = vehicle.Id,
        Label = "odometer",
        Unit = vehicle.DistanceUnit,
    };

    private static async Task<Problem?> Obstacle(
        VehicleRequest wanted, Vehicle vehicle, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        var today = await writer.TodayAsync(vehicle.ClubId, stop);
        if (Problems.Refused(VehicleRecord.Check(wanted.ToRecord(), today)) is { } refused)
        {
            return refused;
        }

        if (wanted.MemberId is { } member
            && !await db.Members.AnyAsync(m => m.Id == member, stop))
        {
            return Problems.Invalid("#/memberId", "no-such-member", "There is no such member in the club.");
        }

        return wanted.Reference is { } reference
            && await db.Vehicles.AnyAsync(v =>
                v.Reference == reference && v.Id != vehicle.Id, stop)
            ? Problems.Conflict($"Another vehicle has the reference \"{reference}\".")
            : null;
    }
}

internal sealed record VehicleFilter(Guid? MemberId = null, string? Reference = null, VehicleKind? Kind = null);
