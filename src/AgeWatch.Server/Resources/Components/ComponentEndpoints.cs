using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>Parts, wherever they are, and all that hangs on them.</summary>
internal static class ComponentEndpoints
{
    public static void MapComponents(this IEndpointRouteBuilder v1)
    {
        var components = v1.MapParts("/components");
        components.MapGet("", List)
            .ForReaders()
            .Named("listComponents", "Parts of the whole club, by kind, lot, maker, part number or place");
        components.MapGet("/{id:guid}", Get)
            .ForReaders()
            .Named("getComponent", "One part with its evidence and where it is");
        components.MapPatch("/{id:guid}", Patch).ForOfficers().Named("changeComponent", "Change a part");
        components.MapDelete("/{id:guid}", Delete)
            .ForOfficers()
            .Named("removeComponent", "Remove a part that was written down by mistake");

        var fitted = v1.MapParts("/vehicles/{vehicleId:guid}/components");
        fitted.MapGet("", ListOnVehicle).ForReaders().Named("listVehicleComponents", "The parts on a vehicle");
        fitted.MapPost("", ComponentCreation.OnVehicle)
            .ForOfficers()
            .Named("createComponent", "Write down a part on a vehicle with its evidence");

        var shelf = v1.MapParts("/shelf");
        shelf.MapGet("", ListOnShelf).ForReaders().Named("listShelf", "The spares on the shelf");
        shelf.MapPost("", ComponentCreation.OnShelf)
            .ForOfficers()
            .Named("createSpare", "Write down a spare with its evidence");

        v1.MapEvidence();
        v1.MapFittings();
        v1.MapTakeOff();
        v1.MapTyreSwaps();
        v1.MapFindings();
        v1.MapDeferrals();
        v1.MapLimits();
    }

    private static Task<Page<ComponentReply>> List(
        Query<ComponentFilter> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        db.ReadAsync(page, query.Value.Narrow(db.Of(caller)), stop);

    private static async Task<Results<Page<ComponentReply>, Problem>> ListOnVehicle(
        Guid vehicleId, Query<FittedFilter> query, PageQuery page, Caller caller, AgeWatchContext db,
        CancellationToken stop) =>
        await db.Vehicles.AnyAsync(v => v.Id == vehicleId, stop)
            ? await db.ReadAsync(page, new ComponentFilter(query.Value.PartKind, VehicleId: vehicleId)
                .Narrow(db.Of(caller)), stop)
            : Problems.NotFound();

    private static Task<Page<ComponentReply>> ListOnShelf(
        Query<FittedFilter> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        db.ReadAsync(page, new ComponentFilter(query.Value.PartKind, Place: ComponentPlace.Shelf)
            .Narrow(db.Of(caller)), stop);

    private static async Task<Results<Tagged<ComponentReply>, Problem>> Get(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await db.FindComponentAsync(caller, id, stop) is { } component
            ? Reply.Of(component, await db.ToReplyAsync(component, stop))
            : Problems.NotFound();

    private static async Task<Results<Tagged<ComponentReply>, Problem>> Patch(
        Guid id, Change<ComponentRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        var current = ComponentRequest.From(component);
        if (!change.TryApply(component, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            if (wanted.Evidence is not null)
            {
                return Problems.Invalid(
                    "#/evidence", "fixed", $"Evidence is added at /v1/components/{id}/evidence and withdrawn there.");
            }

            var history = await db.HistoryAsync(component, stop);
            var told = wanted.ToRecord(history.Current is not null, history.All.Count > 0);
            if (Problems.Refused(ComponentRecord.Check(told)) is { } refused)
            {
                return refused;
            }

            if (await ComponentCreation.ObstacleAsync(wanted, component, db, stop) is { } obstacle)
            {
                return obstacle;
            }

            if (wanted.Position != component.Position && history.Current is { } fitting)
            {
                fitting.Position = wanted.Position;
            }

            wanted.WriteTo(component, clock.GetUtcNow().UtcDateTime);
            db.Touch(component, clock);
            await writer.SaveAsync(caller.ClubId, [component.VehicleId], stop);
        }

        return Reply.Of(component, await db.ToReplyAsync(component, stop));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(component, out var problem))
        {
            return problem;
        }

        db.Components.Remove(component);
        await writer.SaveAsync(caller.ClubId, [component.VehicleId], stop);
        return TypedResults.NoContent();
    }
}
