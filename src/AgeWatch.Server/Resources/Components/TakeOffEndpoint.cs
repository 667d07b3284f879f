using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.AspNetCore.Http.HttpResults;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A part comes off its vehicle, onto the shelf or out of use for good.</summary>
internal static class TakeOffEndpoint
{
    public static void MapTakeOff(this IEndpointRouteBuilder v1) =>
        v1.MapParts("/components/{id:guid}/take-off")
            .MapPost("", TakeOff)
            .ForOfficers()
            .Named("takeOffComponent", "Take a part off, to the shelf or out of use for good");

    private static async Task<Results<Tagged<ComponentReply>, Problem>> TakeOff(
        Guid id, Body<TakeOffRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        var wanted = body.Value;
        var history = await db.HistoryAsync(component, stop);
        if (Obstacle(wanted, component) is { } obstacle)
        {
            return obstacle;
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        List<FieldError> errors = [];
        if (history.Current is { } current)
        {
            current.SetTakenOff(wanted.On, wanted.Odometer, wanted.Reason, wanted.Hours);
            errors = await FittingRules.EndErrorsAsync(db, current, today, "#/on", "#/odometer", stop);
        }
        else if (wanted.On > today)
        {
            errors.AddRange(PastDay.Check(wanted.On, today, nameof(wanted.On)).At(JsonAt.Root));
        }
        else if (wanted.On < history.LastTakenOffOn)
        {
            errors.Add(new(
                "before-taken-off", $"It came off its vehicle on {history.LastTakenOffOn:yyyy-MM-dd}.", "#/on"));
        }

        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        var left = component.VehicleId;
        component.VehicleId = null;
        component.Place = wanted.To == TakeOffTo.Shelf ? ComponentPlace.Shelf : ComponentPlace.Discarded;
        if (wanted.To == TakeOffTo.Discarded)
        {
            (component.DiscardedOn, component.DiscardReason) = (wanted.On, wanted.Reason);
        }

        db.Touch(component, clock);
        await writer.SaveAsync(caller.ClubId, [left, null], stop);
        return Reply.Of(component, await db.ToReplyAsync(component, stop));
    }

    private static Problem? Obstacle(TakeOffRequest wanted, Component component) => component.Place switch
    {
        ComponentPlace.Discarded => Problems.Conflict($"It was discarded on {component.DiscardedOn:yyyy-MM-dd}."),
        ComponentPlace.Shelf when wanted.To == TakeOffTo.Shelf => Problems.Conflict("It is on the shelf already."),
        ComponentPlace.Shelf when wanted.Odometer is not null => Problems.Invalid(
            "#/odometer", "not-on-a-vehicle", "It is on the shelf; there is no odometer there."),
        ComponentPlace.Shelf when wanted.Hours is not null => Problems.Invalid(
            "#/hours", "not-on-a-vehicle", "It is on the shelf; there is no hours meter there."),
        _ => null,
    };
}
