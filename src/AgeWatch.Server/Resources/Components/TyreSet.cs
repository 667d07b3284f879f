using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>The parts that leave one vehicle in a swap, already taken off it.</summary>
internal sealed record TyreSet(TyreSwapSide Side, IReadOnlyList<Component> Components)
{
    // What turns with the wheel. The spare stays: it fits its own car's bay.
    private static readonly string[] Kinds = [
        "tyre-road", "tyre-trailer", "tyre-heavy-steer", "tyre-valve", "inner-tube"];

    /// <param name="at">JSON Pointer of the side; what is wrong with it is added to <paramref name="errors"/>.</param>
    public static async Task<TyreSet> LoadAsync(
        TyreSwapSide side, string at, DateOnly on, DateOnly today, Caller caller, AgeWatchContext db,
        List<FieldError> errors, CancellationToken stop)
    {
        if (await db.Vehicles.AsNoTracking()
            .SingleOrDefaultAsync(v => v.Id == side.VehicleId, stop) is not { } vehicle)
        {
            errors.Add(new("no-such-vehicle", "There is no such vehicle in the club.", JsonAt.Member(at, "vehicleId")));
            return new(side, []);
        }

        FittingRecord fitting = new() { On = on, Odometer = side.Odometer?.Value, Hours = null };
        errors.AddRange(FittingRules.Refusals(fitting, vehicle, today).At(JsonAt.Root)
            .Where(error => !errors.Contains(error)));
        var here = db.Of(caller).Where(c => c.VehicleId == side.VehicleId);
        var components = await (side.ComponentIds is { } ids
            ? here.Where(c => ids.Contains(c.Id))
            : here.Where(c => Kinds.Contains(c.PartKind)))
            .OrderBy(c => c.Id).ToListAsync(stop);
        errors.AddRange((side.ComponentIds ?? []).Index().Where(id => !components.Exists(c => c.Id == id.Item))
            .Select(id => new FieldError(
                "not-on-the-vehicle", "This part is not on the vehicle.",
                JsonAt.Item(JsonAt.Member(at, "componentIds"), id.Index))));
        if (side.ComponentIds is null && components.Count == 0)
        {
            // Going on would leave the other vehicle with no tyres on record, and so with nothing to watch.
            errors.Add(new(
                "no-tyres", "No tyres are on record for this vehicle. Write them down first.",
                JsonAt.Member(at, "vehicleId")));
        }

        foreach (var component in components)
        {
            await TakeOffAsync(component, side, at, on, today, db, errors, stop);
        }

        return new(side, components);
    }

    private static async Task TakeOffAsync(
        Component component, TyreSwapSide side, string at, DateOnly on, DateOnly today, AgeWatchContext db,
        List<FieldError> errors, CancellationToken stop)
    {
        var history = await db.HistoryAsync(component, stop);
        if (history.Current is not { } fitting)
        {
            return;
        }

        fitting.SetTakenOff(on, side.Odometer, null);
        errors.AddRange((await FittingRules.EndErrorsAsync(
            db, fitting, today, "#/on", JsonAt.Member(at, "odometer"), stop))
            .Where(error => error.Code != "in-the-future")
            .Select(error => error with { Detail = $"{error.Detail} (part {component.Id})" }));
    }
}
