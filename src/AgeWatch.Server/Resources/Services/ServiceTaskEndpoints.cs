using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Storage;
using AgeWatch.Storage.Services;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Services;

internal static class ServiceTaskEndpoints
{
    internal const string Tag = "Service tasks";
    internal const string Description = "Repeated work with no part of its own, and when it was done.";

    public static void MapServiceTasks(this IEndpointRouteBuilder v1)
    {
        var ofVehicle = v1.MapResource("/vehicles/{vehicleId:guid}/service-tasks", Tag, Description);
        ofVehicle.MapGet("", List).ForReaders().Named("listServiceTasks", "The service tasks of a vehicle");
        ofVehicle.MapPost("", Create).ForOfficers().Named("createServiceTask", "Write down a service task");

        var tasks = v1.MapResource("/service-tasks", Tag, Description);
        tasks.MapGet("/{id:guid}", Get).ForReaders().Named("getServiceTask", "One service task");
        tasks.MapPatch("/{id:guid}", Patch).ForOfficers().Named("changeServiceTask", "Change a service task");
        tasks.MapDelete("/{id:guid}", Delete).ForOfficers().Named("removeServiceTask", "Remove a service task");

        v1.MapServiceRecords();
    }

    private static async Task<Results<Page<ServiceTaskReply>, Problem>> List(
        Guid vehicleId, Query<ServiceTaskFilter> query, PageQuery page, AgeWatchContext db,
        CancellationToken stop)
    {
        if (!await db.Vehicles.AnyAsync(v => v.Id == vehicleId, stop))
        {
            return Problems.NotFound();
        }

        var tasks = db.ServiceTasks.AsNoTracking().Where(t => t.VehicleId == vehicleId);
        tasks = query.Value.PartKind is { } kind ? tasks.Where(t => t.PartKind == kind) : tasks;
        return await page.ReadAsync(
            tasks,
            Keyset.By((ServiceTask t) => t.Id),
            t => ServiceTaskReply.From(t, db.ServiceRecords
                .Where(r => r.ServiceTaskId == t.Id)
                .OrderByDescending(r => r.DoneOn).ThenByDescending(r => r.Id).FirstOrDefault()),
            stop);
    }

    private static async Task<Results<TaggedCreated<ServiceTaskReply>, Problem>> Create(
        Guid vehicleId, Body<ServiceTaskRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (!await db.Vehicles.AnyAsync(v => v.Id == vehicleId, stop))
        {
            return Problems.NotFound();
        }

        var now = clock.GetUtcNow();
        ServiceTask task = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(now),
            VehicleId = vehicleId,
            PartKind = body.Value.PartKind,
            CreatedAt = now.UtcDateTime,
        };
        List<FieldError> errors = [];
        if (PartKindCheck.Objection(body.Value.PartKind) is { } objection)
        {
            errors.Add(objection);
        }

        if (body.Value.LastDone is { } lastDone)
        {
            var today = await writer.TodayAsync(caller.ClubId, stop);
            errors.AddRange(DoneRecord.Check(lastDone.ToRecord(), today).At("#/lastDone"));
        }

        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        if (await TwinAsync(body.Value, task, db, stop) is { } twin)
        {
            return twin;
        }

        body.Value.WriteTo(task, now.UtcDateTime);
        db.ServiceTasks.Add(task);
        var record = body.Value.LastDone is { } done ? ServiceRecordEndpoints.Add(db, task, done, clock) : null;
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return Reply.Created($"/v1/service-tasks/{task.Id}", task, ServiceTaskReply.From(task, record));
    }

    private static async Task<Results<Tagged<ServiceTaskReply>, Problem>> Get(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await db.FindTaskAsync(caller, id, stop) is { } task
            ? Reply.Of(task, ServiceTaskReply.From(task, await LastAsync(db, task, stop)))
            : Problems.NotFound();

    private static async Task<Results<Tagged<ServiceTaskReply>, Problem>> Patch(
        Guid id, Change<ServiceTaskRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.FindTaskAsync(caller, id, stop) is not { } task)
        {
            return Problems.NotFound();
        }

        var current = ServiceTaskRequest.From(task);
        if (!change.TryApply(task, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            if (wanted.LastDone is not null)
            {
                return Problems.Invalid(
                    "#/lastDone", "fixed", $"Each time it is done is noted at /v1/service-tasks/{id}/records.");
            }

            if (PartKindCheck.Objection(wanted.PartKind) is { } objection)
            {
                return Problems.Invalid([objection]);
            }

            if (await TwinAsync(wanted, task, db, stop) is { } twin)
            {
                return twin;
            }

            wanted.WriteTo(task, clock.GetUtcNow().UtcDateTime);
            await writer.SaveAsync(caller.ClubId, task.VehicleId, stop);
        }

        return Reply.Of(task, ServiceTaskReply.From(task, await LastAsync(db, task, stop)));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (await db.FindTaskAsync(caller, id, stop) is not { } task)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(task, out var problem))
        {
            return problem;
        }

        db.ServiceTasks.Remove(task);
        await writer.SaveAsync(caller.ClubId, task.VehicleId, stop);
        return TypedResults.NoContent();
    }

    private static Task<ServiceRecord?> LastAsync(AgeWatchContext db, ServiceTask task, CancellationToken stop) =>
        db.ServiceRecords.AsNoTracking()
        .Where(r => r.ServiceTaskId == task.Id)
        .OrderByDescending(r => r.DoneOn).ThenByDescending(r => r.Id).FirstOrDefaultAsync(stop);

    private static async Task<Problem?> TwinAsync(
        ServiceTaskRequest wanted, ServiceTask task, AgeWatchContext db, CancellationToken stop) =>
        wanted.Reference is { } reference
        && await db.ServiceTasks.AnyAsync(t =>
            t.Reference == reference && t.Id != task.Id, stop)
            ? Problems.Conflict($"Another service task has the reference \"{reference}\".")
            : null;
}

internal sealed record ServiceTaskFilter(string? PartKind = null);
