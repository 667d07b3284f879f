using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Answers;

internal static class FittingDistances
{
    public static WireDistance? FittedAt(this Fitting f) => Shown(f.FittedThousandths, f.FittedUnit);

    public static WireDistance? TakenOffAt(this Fitting f) => Shown(f.TakenOffThousandths, f.TakenOffUnit);

    public static void SetFitted(this Fitting f, DateOnly? on, WireDistance? odometer, decimal? hours = null) =>
        (f.FittedOn, f.FittedThousandths, f.FittedUnit, f.FittedHours) = (
            on, Thousandths(odometer), odometer?.Unit, Thousandths(hours));

    public static void SetTakenOff(
        this Fitting f, DateOnly? on, WireDistance? odometer, string? reason, decimal? hours = null) =>
        (f.TakenOffOn, f.TakenOffThousandths, f.TakenOffUnit, f.TakenOffReason, f.TakenOffHours) =
            (on, Thousandths(odometer), odometer?.Unit, reason, Thousandths(hours));

    public static long? Thousandths(decimal? hours) => hours is { } shown ? (long)decimal.Round(shown * 1000m) : null;

    public static decimal? Hours(long? thousandths) => thousandths / 1000m;

    public static long? Thousandths(WireDistance? shown) =>
        shown is null ? null : (long)decimal.Round(shown.Value * 1000m);

    public static WireDistance? Shown(long? thousandths, DistanceUnit? unit) =>
        thousandths is { } value && unit is { } shown ? new WireDistance(value / 1000m, shown) : null;
}
