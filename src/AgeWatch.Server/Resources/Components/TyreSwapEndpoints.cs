using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A full set of tyres changes places between two vehicles in one call, and back in one call.</summary>
internal static class TyreSwapEndpoints
{
    public static void MapTyreSwaps(this IEndpointRouteBuilder v1)
    {
        var swaps = v1.MapParts("/tyre-swaps");
        swaps.MapPost("", Swap).ForOfficers().Named("swapTyres", "Swap the tyres of two vehicles");
        swaps.MapGet("/{id:guid}", Get).ForReaders().Named("getTyreSwap", "What a swap moved");
        swaps.MapPost("/{id:guid}/undo", Undo).ForOfficers().Named("undoTyreSwap", "Take a swap out of the record");
    }

    private static async Task<Results<TaggedCreated<TyreSwapReply>, Problem>> Swap(
        Body<TyreSwapRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        var today = await writer.TodayAsync(caller.ClubId, stop);
        List<FieldError> errors = [];
        List<TyreSet> sets = [];
        foreach (var (index, side) in body.Value.Vehicles.Index())
        {
            sets.Add(await TyreSet.LoadAsync(
                side, JsonAt.Item("#/vehicles", index), body.Value.On, today, caller, db, errors, stop));
        }

        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        var swapId = Guid.CreateVersion7(clock.GetUtcNow());
        List<TyreSwapMove> moved = [.. Move(sets[0], sets[1]), .. Move(sets[1], sets[0])];
        await writer.SaveAsync(caller.ClubId, [.. sets.Select(set => (Guid?)set.Side.VehicleId)], stop);
        return Reply.Created($"/v1/tyre-swaps/{swapId}", new TyreSwapReply(swapId, Ordered(moved)));

        IEnumerable<TyreSwapMove> Move(TyreSet from, TyreSet to)
        {
            foreach (var component in from.Components)
            {
                var fitting = FittingEndpoints.Add(db, component, to.Side.VehicleId, component.Position, clock);
                fitting.SetFitted(body.Value.On, to.Side.Odometer);
                fitting.SwapId = swapId;
                yield return new(
                    component.Id, from.Side.VehicleId, to.Side.VehicleId, fitting.FittedOn, fitting.Position,
                    fitting.Id);
            }
        }
    }

    private static async Task<Results<Tagged<TyreSwapReply>, Problem>> Get(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var moves = await MovesAsync(id, caller, db, stop);
        return moves.Count > 0 ? Reply.Of(ToReply(id, moves)) : Problems.NotFound();
    }

    // The swap is taken out of the record as if it had never been noted; a swap back on a later day is a swap of its
    // own.
    private static async Task<Results<Tagged<TyreSwapReply>, Problem>> Undo(
        Guid id, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        var moves = await MovesAsync(id, caller, db, stop);
        if (moves.Count == 0)
        {
            return Problems.NotFound();
        }

        if (moves.Find(move => move.After.TakenOffOn is not null) is { } gone)
        {
            return Problems.Conflict(
                $"The part {gone.Component.Id} has been moved again since. Undo that first, or note where it is now.");
        }

        var reply = ToReply(id, moves);
        foreach (var (component, before, after) in moves)
        {
            db.Fittings.Remove(after);
            before.SetTakenOff(null, null, null);
            component.VehicleId = before.VehicleId;
            component.Position = before.Position;
            db.Touch(component, clock);
        }

        await writer.SaveAsync(
            caller.ClubId,
            [.. moves.SelectMany(move => new Guid?[] { move.Before.VehicleId, move.After.VehicleId }).Distinct()],
            stop);
        return Reply.Of(reply);
    }

    private static async Task<List<Moved>> MovesAsync(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var componentIds = db.Fittings.Where(f => f.SwapId == id)
            .Select(f => f.ComponentId);
        var components = await db.Of(caller).Where(c => componentIds.Contains(c.Id)).ToListAsync(stop);
        var fittings = await db.Fittings.Where(f =>
            componentIds.Contains(f.ComponentId)).ToListAsync(stop);
        return [.. components.Select(component =>
        {
            FittingHistory history = new(fittings.Where(f => f.ComponentId == component.Id));
            var after = history.All.Single(f => f.SwapId == id);
            return new Moved(component, history.Before(after)!, after);
        })];
    }

    private static TyreSwapReply ToReply(Guid id, IEnumerable<Moved> moves) =>
        new(id, Ordered(moves.Select(move => new TyreSwapMove(
        move.Component.Id, move.Before.VehicleId, move.After.VehicleId, move.After.FittedOn, move.After.Position,
        move.After.Id))));

    private static List<TyreSwapMove> Ordered(IEnumerable<TyreSwapMove> moves) =>
        [.. moves.OrderBy(move => move.ComponentId)];

    private sealed record Moved(Component Component, Fitting Before, Fitting After);
}
