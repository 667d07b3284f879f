using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>What a running-hours meter showed; limits in hours count by it.</summary>
internal static class HourEndpoints
{
    public static void MapHours(this IEndpointRouteBuilder v1)
    {
        var readings = v1.MapResource(
            "/vehicles/{vehicleId:guid}/hour-readings", "Hours", "What a running-hours meter showed.");
        readings.MapGet("", List).ForReaders().Named("listHourReadings", "What the hours meter showed");
        readings.MapPost("", Create).ForOfficers().Named("createHourReading", "Note what the hours meter shows");
        readings.MapGet("/{id:guid}", Get).ForReaders().Named("getHourReading", "One reading of the hours meter");
        readings.MapPatch("/{id:guid}", Patch)
            .ForOfficers()
            .Named("changeHourReading", "Correct a reading of the hours meter");
        readings.MapDelete("/{id:guid}", Delete)
            .ForOfficers()
            .Named("removeHourReading", "Remove a reading of the hours meter");
    }

    private static async Task<Results<Page<HourReadingReply>, Problem>> List(
        Guid vehicleId, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await db.HasVehicleAsync(caller.ClubId, vehicleId, stop)
            ? await page.ReadAsync(
                Of(db, vehicleId).AsNoTracking(), Keyset.By((HourReading r) => r.ReadOn).Then(r => r.Id), r =>
                    HourReadingReply.From(r), stop)
            : Problems.NotFound();

    private static async Task<Results<TaggedCreated<HourReadingReply>, Problem>> Create(
        Guid vehicleId, Body<HourReadingRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (!await db.HasVehicleAsync(caller.ClubId, vehicleId, stop))
        {
            return Problems.NotFound();
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        if (Problems.Refused(HourReadingRecord.Check(body.Value.ToRecord(), today)) is { } refused)
        {
            return refused;
        }

        var now = clock.GetUtcNow();
        HourReading reading = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(now),
            VehicleId = vehicleId,
            CreatedAt = now.UtcDateTime
        };
        body.Value.WriteTo(reading);
        db.HourReadings.Add(reading);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return Reply.Created(
            $"/v1/vehicles/{vehicleId}/hour-readings/{reading.Id}", reading, HourReadingReply.From(reading));
    }

    private static async Task<Results<Tagged<HourReadingReply>, Problem>> Get(
        Guid vehicleId, Guid id, AgeWatchContext db, CancellationToken stop) =>
        await Of(db, vehicleId).SingleOrDefaultAsync(r => r.Id == id, stop) is { } reading
            ? Reply.Of(reading, HourReadingReply.From(reading))
            : Problems.NotFound();

    private static async Task<Results<Tagged<HourReadingReply>, Problem>> Patch(
        Guid vehicleId, Guid id, Change<HourReadingRequest> change, Caller caller, AgeWatchContext db,
        FactWriter writer, CancellationToken stop)
    {
        if (await Of(db, vehicleId).SingleOrDefaultAsync(r => r.Id == id, stop) is not { } reading)
        {
            return Problems.NotFound();
        }

        var current = HourReadingRequest.From(reading);
        if (!change.TryApply(reading, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            var today = await writer.TodayAsync(caller.ClubId, stop);
            if (Problems.Refused(HourReadingRecord.Check(wanted.ToRecord(), today)) is { } refused)
            {
                return refused;
            }

            wanted.WriteTo(reading);
            await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        }

        return Reply.Of(reading, HourReadingReply.From(reading));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid vehicleId, Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await Of(db, vehicleId).SingleOrDefaultAsync(r => r.Id == id, stop) is not { } reading)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(reading, out var problem))
        {
            return problem;
        }

        db.HourReadings.Remove(reading);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return TypedResults.NoContent();
    }

    private static IQueryable<HourReading> Of(AgeWatchContext db, Guid vehicleId) =>
        db.HourReadings.Where(r => r.VehicleId == vehicleId);
}

/// <summary>What a running-hours meter showed.</summary>
/// <param name="Hours">As the meter shows it.</param>
internal sealed record HourReadingRequest(
    DateOnly On, [Range(0, Shown.MostHours)] decimal Hours, [StringLength(200), OneLine] string? NotedBy = null)
{
    public HourReadingRecord ToRecord() => new() { On = On, Hours = Hours };

    public static HourReadingRequest From(HourReading r) => new(r.ReadOn, r.Thousandths / 1000m, r.NotedBy);

    public void WriteTo(HourReading r)
    {
        r.ReadOn = On;
        r.Thousandths = (long)decimal.Round(Hours * 1000m);
        r.NotedBy = NotedBy;
    }
}

internal sealed record HourReadingReply(Guid Id, DateOnly On, decimal Hours, string? NotedBy, DateTime CreatedAt)
{
    public static HourReadingReply From(HourReading r) =>
        new(r.Id, r.ReadOn, r.Thousandths / 1000m, r.NotedBy, r.CreatedAt);
}
