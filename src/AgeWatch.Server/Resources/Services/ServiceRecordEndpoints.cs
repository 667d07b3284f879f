using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Storage;
using AgeWatch.Storage.Services;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Services;

/// <summary>Each time that a service task was done; the latest starts its clock.</summary>
internal static class ServiceRecordEndpoints
{
    public static void MapServiceRecords(this IEndpointRouteBuilder v1)
    {
        var records = v1.MapResource(
            "/service-tasks/{id:guid}/records", ServiceTaskEndpoints.Tag, ServiceTaskEndpoints.Description);
        records.MapGet("", List).ForReaders().Named("listServiceRecords", "When it was done, latest first");
        records.MapPost("", Create).ForOfficers().Named("createServiceRecord", "Note that it was done");
        records.MapGet("/{recordId:guid}", Get).ForReaders().Named("getServiceRecord", "One time that it was done");
        records.MapPatch("/{recordId:guid}", Patch).ForOfficers().Named("changeServiceRecord", "Put right a record");
        records.MapDelete("/{recordId:guid}", Delete)
            .ForOfficers()
            .Named("removeServiceRecord", "Remove a record that was written down by mistake");
    }

    private static async Task<Results<Page<ServiceRecordReply>, Problem>> List(
        Guid id, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await db.FindTaskAsync(caller, id, stop) is { } task
            ? await page.ReadAsync(
                db.ServiceRecords.AsNoTracking().Where(r => r.ServiceTaskId == task.Id),
                Keyset.Down((ServiceRecord r) => r.DoneOn).ThenDown(r => r.Id),
                r => ServiceRecordReply.From(r),
                stop)
            : Problems.NotFound();

    private static async Task<Results<TaggedCreated<ServiceRecordReply>, Problem>> Create(
        Guid id, Body<ServiceRecordRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.FindTaskAsync(caller, id, stop) is not { } task)
        {
            return Problems.NotFound();
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        if (Problems.Refused(DoneRecord.Check(body.Value.ToRecord(), today)) is { } refused)
        {
            return refused;
        }

        var record = Add(db, task, body.Value, clock);
        db.Touch(task, clock);
        await writer.SaveAsync(caller.ClubId, task.VehicleId, stop);
        return Reply.Created($"/v1/service-tasks/{id}/records/{record.Id}", record, ServiceRecordReply.From(record));
    }

    private static async Task<Results<Tagged<ServiceRecordReply>, Problem>> Get(
        Guid id, Guid recordId, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await FindAsync(db, caller, id, recordId, stop) is var (_, record)
            ? Reply.Of(record, ServiceRecordReply.From(record))
            : Problems.NotFound();

    private static async Task<Results<Tagged<ServiceRecordReply>, Problem>> Patch(
        Guid id, Guid recordId, Change<ServiceRecordRequest> change, Caller caller, AgeWatchContext db,
        FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        if (await FindAsync(db, caller, id, recordId, stop) is not var (task, record))
        {
            return Problems.NotFound();
        }

        var current = ServiceRecordRequest.From(record);
        if (!change.TryApply(record, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            var today = await writer.TodayAsync(caller.ClubId, stop);
            if (Problems.Refused(DoneRecord.Check(wanted.ToRecord(), today)) is { } refused)
            {
                return refused;
            }

            wanted.WriteTo(record);
            db.Touch(task, clock);
            await writer.SaveAsync(caller.ClubId, task.VehicleId, stop);
        }

        return Reply.Of(record, ServiceRecordReply.From(record));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, Guid recordId, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await FindAsync(db, caller, id, recordId, stop) is not var (task, record))
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(record, out var problem))
        {
            return problem;
        }

        db.ServiceRecords.Remove(record);
        db.Touch(task, clock);
        await writer.SaveAsync(caller.ClubId, task.VehicleId, stop);
        return TypedResults.NoContent();
    }

    internal static ServiceRecord Add(
        AgeWatchContext db, ServiceTask task, ServiceRecordRequest done, TimeProvider clock)
    {
        var now = clock.GetUtcNow();
        ServiceRecord record = new()
        {
            ClubId = task.ClubId,
            Id = Guid.CreateVersion7(now),
            ServiceTaskId = task.Id,
            CreatedAt = now.UtcDateTime
        };
        done.WriteTo(record);
        db.ServiceRecords.Add(record);
        return record;
    }

    private static async Task<(ServiceTask Task, ServiceRecord Record)?> FindAsync(
        AgeWatchContext db, Caller caller, Guid id, Guid recordId, CancellationToken stop) =>
        await db.FindTaskAsync(caller, id, stop) is { } task
        && await db.ServiceRecords.SingleOrDefaultAsync(r =>
            r.ServiceTaskId == id && r.Id == recordId, stop) is { } record
            ? (task, record)
            : null;
}
