using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>The odometers a vehicle has or had.</summary>
internal static class InstrumentEndpoints
{
    public static void MapInstruments(this IEndpointRouteBuilder v1)
    {
        var instruments = v1.MapResource(
            "/vehicles/{vehicleId:guid}/instruments", "Odometer", "Odometers and what they showed.");
        instruments.MapGet("", ListInstruments)
            .ForReaders()
            .Named("listInstruments", "The odometers a vehicle has or had");
        instruments.MapPost("", CreateInstrument).ForOfficers().Named("createInstrument", "Add an odometer");
        instruments.MapGet("/{id:guid}", GetInstrument).ForReaders().Named("getInstrument", "One odometer");
        instruments.MapPatch("/{id:guid}", PatchInstrument)
            .ForOfficers()
            .Named("changeInstrument", "Change an odometer");
        instruments.MapDelete("/{id:guid}", DeleteInstrument)
            .ForOfficers()
            .Named("removeInstrument", "Remove an odometer without readings");
    }

    private static async Task<Results<Page<InstrumentReply>, Problem>> ListInstruments(
        Guid vehicleId, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await db.HasVehicleAsync(caller.ClubId, vehicleId, stop)
            ? await page.ReadAsync(
                db.Instruments.AsNoTracking().Where(i => i.VehicleId == vehicleId),
                Keyset.By((Instrument i) => i.Id),
                i => InstrumentReply.From(i),
                stop)
            : Problems.NotFound();

    private static async Task<Results<TaggedCreated<InstrumentReply>, Problem>> CreateInstrument(
        Guid vehicleId, Body<InstrumentRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (!await db.HasVehicleAsync(caller.ClubId, vehicleId, stop))
        {
            return Problems.NotFound();
        }

        var wanted = body.Value;
        if (await TwinAsync(db, vehicleId, null, wanted.Label, stop) is { } twin)
        {
            return twin;
        }

        var instrument = new Instrument
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            VehicleId = vehicleId,
            Label = wanted.Label,
        };
        wanted.WriteTo(instrument);
        db.Instruments.Add(instrument);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return Reply.Created(
            $"/v1/vehicles/{vehicleId}/instruments/{instrument.Id}", instrument, InstrumentReply.From(instrument));
    }

    private static async Task<Results<Tagged<InstrumentReply>, Problem>> GetInstrument(
        Guid vehicleId, Guid id, AgeWatchContext db, CancellationToken stop) =>
        await db.Instruments.SingleOrDefaultAsync(i =>
            i.VehicleId == vehicleId && i.Id == id, stop) is { } instrument
            ? Reply.Of(instrument, InstrumentReply.From(instrument))
            : Problems.NotFound();

    private static async Task<Results<Tagged<InstrumentReply>, Problem>> PatchInstrument(
        Guid vehicleId, Guid id, Change<InstrumentRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await db.Instruments.SingleOrDefaultAsync(
            i => i.VehicleId == vehicleId && i.Id == id, stop) is not { } instrument)
        {
            return Problems.NotFound();
        }

        var current = new InstrumentRequest(
            instrument.Label, instrument.Unit, instrument.Digits, instrument.FittedOn, instrument.RemovedOn);
        if (!change.TryApply(instrument, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            if (await TwinAsync(db, vehicleId, id, wanted.Label, stop) is { } twin)
            {
                return twin;
            }

            wanted.WriteTo(instrument);
            await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        }

        return Reply.Of(instrument, InstrumentReply.From(instrument));
    }

    private static async Task<Results<NoContent, Problem>> DeleteInstrument(
        Guid vehicleId, Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await db.Instruments.SingleOrDefaultAsync(
            i => i.VehicleId == vehicleId && i.Id == id, stop) is not { } instrument)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(instrument, out var problem))
        {
            return problem;
        }

        if (await db.OdometerReadings.AnyAsync(r => r.InstrumentId == id, stop))
        {
            return Problems.Conflict("It has readings. Set removedOn to say that it is no longer on the vehicle, or "
                + "remove the readings first.");
        }

        db.Instruments.Remove(instrument);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return TypedResults.NoContent();
    }

    private static async Task<Problem?> TwinAsync(
        AgeWatchContext db, Guid vehicleId, Guid? self, string label, CancellationToken stop) =>
        await db.Instruments.AnyAsync(i =>
            i.VehicleId == vehicleId && i.Label == label && i.Id != self, stop)
            ? Problems.Conflict($"The vehicle already has an instrument \"{label}\".")
            : null;
}
