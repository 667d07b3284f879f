using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>When a part can have been on a vehicle.</summary>
internal static class FittingRules
{
    public static IEnumerable<Refusal> Refusals(FittingRecord fitting, Vehicle vehicle, DateOnly today) =>
        FittingRecord.Check(fitting, vehicle.Built, vehicle.GoneOn, today);

    /// <summary>A fitting that has just ended: the day of it must fit its beginning, the club's day and the
    /// odometer.</summary>
    public static async Task<List<FieldError>> EndErrorsAsync(
        AgeWatchContext db, Fitting fitting, DateOnly today, string dayAt, string odometerAt, CancellationToken stop)
    {
        List<FieldError> errors = [];
        errors.AddRange(PastDay.Check(fitting.TakenOffOn, today, "").At(dayAt));

        if (fitting.TakenOffOn < fitting.FittedOn)
        {
            errors.Add(new(
                "before-fitted", $"It was fitted on {fitting.FittedOn:yyyy-MM-dd}; it cannot have come off before.",
                dayAt));
        }

        if (await RanBackwardsAsync(db, fitting, stop))
        {
            errors.Add(new("ran-backwards",
                $"The odometer showed {Text(fitting.FittedAt()!)} when it was fitted, and no odometer of this "
                    + $"vehicle begins again at zero.",
                odometerAt));
        }

        return errors;
    }

    // Five drums come round in a car's life, six do not; and a vehicle with a second instrument may show anything.
    private static async Task<bool> RanBackwardsAsync(AgeWatchContext db, Fitting fitting, CancellationToken stop)
    {
        const int DrumsThatComeRound = 5;
        if (fitting.FittedAt() is not { } on
            || fitting.TakenOffAt() is not { } off
            || off.ToDistance() >= on.ToDistance())
        {
            return false;
        }

        var drums = await db.Instruments
            .Where(i => i.VehicleId == fitting.VehicleId)
                .Select(i => i.Digits)
                .ToListAsync(stop);
        return drums is [> DrumsThatComeRound];
    }

    private static string Text(WireDistance shown) =>
        FormattableString.Invariant($"{shown.Value} {WireNames.Of(shown.Unit)}");
}
