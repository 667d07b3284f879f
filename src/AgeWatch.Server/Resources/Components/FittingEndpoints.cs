using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>Where a part has been; its age and distance go with it.</summary>
internal static class FittingEndpoints
{
    public static void MapFittings(this IEndpointRouteBuilder v1)
    {
        var fittings = v1.MapParts("/components/{id:guid}/fittings");
        fittings.MapGet("", List).ForReaders().Named("listFittings", "Where a part has been");
        fittings.MapPost("", Fit).ForOfficers().Named("fitComponent", "Fit a part to a vehicle");
        fittings.MapGet("/{fittingId:guid}", Get).ForReaders().Named("getFitting", "One fitting");
        fittings.MapPatch("/{fittingId:guid}", Patch)
            .ForOfficers()
            .Named("changeFitting", "Put right a fitting that was written down wrongly");
    }

    private static async Task<Results<Page<FittingReply>, Problem>> List(
        Guid id, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        var history = await db.HistoryAsync(component, stop);
        return page.Read(history.All, Keyset.By((Fitting f) => f.Id), f => FittingReply.From(f, history));
    }

    private static async Task<Results<Tagged<FittingReply>, Problem>> Get(
        Guid id, Guid fittingId, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        var history = await db.HistoryAsync(component, stop);
        return history.All.SingleOrDefault(f => f.Id == fittingId) is { } fitting
            ? Reply.Of(fitting, FittingReply.From(fitting, history))
            : Problems.NotFound();
    }

    private static async Task<Results<TaggedCreated<FittingReply>, Problem>> Fit(
        Guid id, Body<FittingRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        var wanted = body.Value;
        var history = await db.HistoryAsync(component, stop);
        if (Obstacle(wanted, component, history) is { } obstacle)
        {
            return obstacle;
        }

        if (await db.Vehicles.AsNoTracking().SingleOrDefaultAsync(
            v => v.Id == wanted.VehicleId, stop) is not { } vehicle)
        {
            return Problems.Invalid("#/vehicleId", "no-such-vehicle", "There is no such vehicle in the club.");
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        List<FieldError> errors = [.. FittingRules.Refusals(wanted.ToRecord(), vehicle, today).At(JsonAt.Root)];
        var left = component.VehicleId;
        if (history.Current is { } current)
        {
            current.SetTakenOff(wanted.TakenOffOn, wanted.TakenOffOdometer, null, wanted.TakenOffHours);
            errors.AddRange(await FittingRules.EndErrorsAsync(
                db, current, today, "#/takenOffOn", "#/takenOffOdometer", stop));
        }

        if (wanted.On < history.LastTakenOffOn)
        {
            errors.Add(new(
                "overlaps",
                $"It came off a vehicle on {history.LastTakenOffOn:yyyy-MM-dd}; it cannot be fitted before.", "#/on"));
        }

        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        var fitting = Add(db, component, vehicle.Id, wanted.Position ?? component.Position, clock);
        fitting.SetFitted(wanted.On, wanted.Odometer, wanted.Hours);
        fitting.NotedBy = wanted.NotedBy;
        await writer.SaveAsync(caller.ClubId, [left, vehicle.Id], stop);
        return Reply.Created(
            $"/v1/components/{id}/fittings/{fitting.Id}", fitting,
            FittingReply.From(fitting, new([.. history.All, fitting])));
    }

    private static async Task<Results<Tagged<FittingReply>, Problem>> Patch(
        Guid id, Guid fittingId, Change<FittingChange> change, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        var history = await db.HistoryAsync(component, stop);
        if (history.All.SingleOrDefault(f => f.Id == fittingId) is not { } fitting)
        {
            return Problems.NotFound();
        }

        var current = FittingChange.From(fitting);
        if (!change.TryApply(fitting, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            if (await FittingCorrection.ApplyAsync(
                fitting, wanted, component, history, db, writer, stop) is { } obstacle)
            {
                return obstacle;
            }

            db.Touch(component, clock);
            await writer.SaveAsync(caller.ClubId, [component.VehicleId], stop);
        }

        return Reply.Of(fitting, FittingReply.From(fitting, new(history.All)));
    }

    internal static Fitting Add(
        AgeWatchContext db, Component component, Guid vehicleId, string? position, TimeProvider clock)
    {
        Fitting fitting = new()
        {
            ClubId = component.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            ComponentId = component.Id,
            VehicleId = vehicleId,
            Position = position,
            RecordedAt = clock.GetUtcNow().UtcDateTime,
        };
        db.Fittings.Add(fitting);
        component.VehicleId = vehicleId;
        component.Place = ComponentPlace.Fitted;
        component.Position = position;
        db.Touch(component, clock);
        return fitting;
    }

    private static Problem? Obstacle(FittingRequest wanted, Component component, FittingHistory history) =>
        component.Place switch
        {
            ComponentPlace.Discarded => Problems.Conflict(
                $"It was discarded on {component.DiscardedOn:yyyy-MM-dd} and cannot be fitted again. If it was the wrong "
                    + $"record, write the part down anew with all its evidence."),
            ComponentPlace.Fitted when wanted.TakenOffOn is null => Problems.Conflict(
                $"It is on the vehicle {component.VehicleId}. Say takenOffOn, the day on which it came off there, or "
                    + $"take it off first."),
            ComponentPlace.Shelf when wanted.TakenOffOn is not null => Problems.Invalid(
                "#/takenOffOn", "not-on-a-vehicle", history.LastTakenOffOn is { } off
                    ? $"It is on the shelf; it came off its last vehicle on {off:yyyy-MM-dd}."
                    : "It is on the shelf and was never on a vehicle."),
            _ => null,
        };
}
