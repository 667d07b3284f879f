using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>Odometers and what they showed.</summary>
internal static class OdometerEndpoints
{
    public static void MapOdometers(this IEndpointRouteBuilder v1)
    {
        var readings = v1.MapResource(
            "/vehicles/{vehicleId:guid}/odometer-readings", "Odometer", "Odometers and what they showed.");
        readings.MapGet("", ListReadings).ForReaders().Named("listOdometerReadings", "What the odometers showed");
        readings.MapPost("", CreateReading).ForOfficers().Named("createOdometerReading", "Note what an odometer shows");
        readings.MapGet("/{id:guid}", GetReading).ForReaders().Named("getOdometerReading", "One reading");
        readings.MapPatch("/{id:guid}", PatchReading).ForOfficers().Named("changeOdometerReading", "Correct a reading");
        readings.MapDelete("/{id:guid}", DeleteReading)
            .ForOfficers()
            .Named("removeOdometerReading", "Remove a reading");
    }

    private static async Task<Results<Page<OdometerReadingReply>, Problem>> ListReadings(
        Guid vehicleId, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (!await db.HasVehicleAsync(caller.ClubId, vehicleId, stop))
        {
            return Problems.NotFound();
        }

        var units = await UnitsAsync(db, caller.ClubId, vehicleId, stop);
        return await page.ReadAsync(
            db.OdometerReadings.AsNoTracking().Where(r => r.VehicleId == vehicleId),
            Keyset.By((OdometerReading r) => r.ReadOn).Then(r => r.Id),
            r => OdometerReadingReply.From(r, units[r.InstrumentId]),
            stop);
    }

    private static async Task<Results<TaggedCreated<OdometerReadingReply>, Problem>> CreateReading(
        Guid vehicleId, Body<OdometerReadingRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (!await db.HasVehicleAsync(caller.ClubId, vehicleId, stop))
        {
            return Problems.NotFound();
        }

        var (reading, instrument, problem) = await AddAsync(
            db, caller.ClubId, vehicleId, body.Value, await writer.TodayAsync(caller.ClubId, stop), clock, stop);
        if (problem is not null)
        {
            return problem;
        }

        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return Reply.Created(
            $"/v1/vehicles/{vehicleId}/odometer-readings/{reading!.Id}", reading,
            await ReadingDoubts.AddAsync(
                OdometerReadingReply.From(reading, instrument!.Unit), db, writer, caller.ClubId, vehicleId, stop));
    }

    /// <summary>The reading, or why it cannot be; nothing is saved yet.</summary>
    internal static async Task<(OdometerReading? Reading, Instrument? Instrument, Problem? Problem)> AddAsync(
        AgeWatchContext db, Guid clubId, Guid vehicleId, OdometerReadingRequest wanted, DateOnly today,
        TimeProvider clock, CancellationToken stop)
    {
        var instruments = await db.Instruments.Where(i =>
            i.VehicleId == vehicleId).ToListAsync(stop);
        if (Refused(wanted, instruments, today) is { } problem)
        {
            return (null, null, problem);
        }

        var shownBy = OdometerReadingRecord.Possible(wanted.ToRecord(), instruments.Select(ToOdometer))[0].Id;
        var instrument = instruments.Single(i => i.Label == shownBy);
        OdometerReading reading = new()
        {
            ClubId = clubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            VehicleId = vehicleId,
            InstrumentId = instrument.Id,
            ReadOn = wanted.On,
            Thousandths = Thousandths(wanted.Value),
            NotedBy = wanted.NotedBy,
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        };
        db.OdometerReadings.Add(reading);
        return (reading, instrument, null);
    }

    private static async Task<Results<Tagged<OdometerReadingReply>, Problem>> GetReading(
        Guid vehicleId, Guid id, AgeWatchContext db, CancellationToken stop) =>
        await FindAsync(db, vehicleId, id, stop) is var (reading, instrument)
            ? Reply.Of(reading, OdometerReadingReply.From(reading, instrument.Unit))
            : Problems.NotFound();

    private static async Task<Results<Tagged<OdometerReadingReply>, Problem>> PatchReading(
        Guid vehicleId, Guid id, Change<OdometerReadingRequest> change, Caller caller, AgeWatchContext db,
        FactWriter writer, CancellationToken stop)
    {
        if (await FindAsync(db, vehicleId, id, stop) is not var (reading, instrument))
        {
            return Problems.NotFound();
        }

        var current = new OdometerReadingRequest(
            reading.ReadOn, reading.Thousandths / 1000m, instrument.Unit, instrument.Label, reading.NotedBy);
        if (!change.TryApply(reading, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            if (wanted.Instrument != instrument.Label)
            {
                return Problems.Invalid(
                    "#/instrument", "fixed", "A reading stays with its instrument; remove it and note a new one.");
            }

            if (Refused(wanted, [instrument], await writer.TodayAsync(caller.ClubId, stop)) is { } obstacle)
            {
                return obstacle;
            }

            reading.ReadOn = wanted.On;
            reading.Thousandths = Thousandths(wanted.Value);
            reading.NotedBy = wanted.NotedBy;
            await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        }

        return Reply.Of(reading, await ReadingDoubts.AddAsync(
            OdometerReadingReply.From(reading, instrument.Unit), db, writer, caller.ClubId, vehicleId, stop));
    }

    private static async Task<Results<NoContent, Problem>> DeleteReading(
        Guid vehicleId, Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await FindAsync(db, vehicleId, id, stop) is not var (reading, _))
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(reading, out var problem))
        {
            return problem;
        }

        db.OdometerReadings.Remove(reading);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return TypedResults.NoContent();
    }

    internal static Task<bool> HasVehicleAsync(
        this AgeWatchContext db, Guid clubId, Guid vehicleId, CancellationToken stop) =>
        db.Vehicles.AnyAsync(v => v.Id == vehicleId, stop);

    private static long Thousandths(decimal value) => (long)decimal.Round(value * 1000m);

    private static Problem? Refused(
        OdometerReadingRequest wanted, IReadOnlyList<Instrument> instruments, DateOnly today) =>
        Problems.Refused(
            OdometerReadingRecord.Check(wanted.ToRecord(), [.. instruments.Select(ToOdometer)], today));

    /// <summary>Named by its label, which is the vehicle's only one.</summary>
    internal static Odometer ToOdometer(this Instrument i) =>
        new() { Id = i.Label, Unit = i.Unit, Digits = i.Digits, FittedOn = i.FittedOn, RemovedOn = i.RemovedOn };

    private static async Task<(OdometerReading Reading, Instrument Instrument)?> FindAsync(
        AgeWatchContext db, Guid vehicleId, Guid id, CancellationToken stop)
    {
        if (await db.OdometerReadings.SingleOrDefaultAsync(
            r => r.VehicleId == vehicleId && r.Id == id, stop) is not { } reading)
        {
            return null;
        }

        return (
            reading, await db.Instruments.SingleAsync(i => i.Id == reading.InstrumentId, stop));
    }

    private static Task<Dictionary<Guid, DistanceUnit>> UnitsAsync(
        AgeWatchContext db, Guid clubId, Guid vehicleId, CancellationToken stop) =>
        db.Instruments.Where(i => i.VehicleId == vehicleId)
            .ToDictionaryAsync(i => i.Id, i => i.Unit, stop);
}
