using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A fitting that was written down wrongly.</summary>
internal static class FittingCorrection
{
    public static async Task<Problem?> ApplyAsync(
        Fitting fitting, FittingChange wanted, Component component, FittingHistory history, AgeWatchContext db,
        FactWriter writer, CancellationToken stop)
    {
        if (fitting.TakenOffOn is null
            && (
                wanted.TakenOffOn, wanted.TakenOffOdometer, wanted.TakenOffReason,
                wanted.TakenOffHours) is not (null, null, null, null))
        {
            return Problems.Invalid(
                "#/takenOffOn", "still-fitted", $"To take it off, POST to /v1/components/{component.Id}/take-off.");
        }

        if (fitting.TakenOffOn is not null && wanted.TakenOffOn is null)
        {
            return Problems.Invalid("#/takenOffOn", "missing", "It came off; say when. To put it back, fit it.");
        }

        var today = await writer.TodayAsync(component.ClubId, stop);

        // Tracked: a walk-round may have told its built date in the same request.
        var vehicle = await db.Vehicles
            .SingleAsync(v => v.Id == fitting.VehicleId, stop);
        var isLastBeforeDiscard = component.DiscardedOn is not null && fitting.TakenOffOn == component.DiscardedOn;
        fitting.Position = wanted.Position;
        fitting.NotedBy = wanted.NotedBy;
        fitting.SetFitted(wanted.On, wanted.Odometer, wanted.Hours);
        fitting.SetTakenOff(wanted.TakenOffOn, wanted.TakenOffOdometer, wanted.TakenOffReason, wanted.TakenOffHours);

        List<FieldError> errors = [.. FittingRules.Refusals(wanted.ToRecord(), vehicle, today).At(JsonAt.Root)];
        errors.AddRange(await FittingRules.EndErrorsAsync(
            db, fitting, today, "#/takenOffOn", "#/takenOffOdometer", stop));
        if (errors.Count == 0 && new FittingHistory(history.All).Overlaps)
        {
            errors.Add(new(
                "overlaps", "It would then have been in two places on one day; see its other fittings.", "#/on"));
        }

        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        if (isLastBeforeDiscard)
        {
            (component.DiscardedOn, component.DiscardReason) = (fitting.TakenOffOn, fitting.TakenOffReason);
        }

        if (fitting.TakenOffOn is null)
        {
            component.Position = fitting.Position;
        }

        return null;
    }
}
