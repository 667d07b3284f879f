using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Answers;

/// <summary>From stored fittings to the stays of a part.</summary>
internal static class Stays
{
    /// <param name="AsOf">The day asked about.</param>
    /// <param name="KnownOn">The club's today.</param>
    public readonly record struct Days(DateOnly AsOf, DateOnly KnownOn);

    /// <summary>The fittings as they stood on a past day: what came later had not come, what ended later went
    /// on.</summary>
    public static IEnumerable<Fitting> Until(IReadOnlyList<Fitting> fittings, Days days) =>
        days.AsOf >= days.KnownOn
            ? fittings
            : fittings.Where(f => !(f.FittedOn > days.AsOf)).Select(f => f.TakenOffOn > days.AsOf ? StillOn(f) : f);

    /// <param name="elsewhere">The vehicle of the fitting when it is another than the one asked about; null: it is
    /// gone.</param>
    public static Stay Of(Fitting f, StoredVehicle stored, StoredVehicle? elsewhere, DateOnly knownOn)
    {
        var isHere = f.VehicleId == stored.Vehicle?.Id;
        var place = isHere ? stored : elsewhere;
        var first = place is not null && f.FittedOn is { } on
            ? DueQuestions.Shown(on, f.FittedThousandths, f.FittedUnit, place)
            : null;
        var last = place is not null && f.TakenOffOn is { } off
            ? DueQuestions.Shown(off, f.TakenOffThousandths, f.TakenOffUnit, place)
            : null;
        return new(
            f.FittedOn,
            f.TakenOffOn,
            place is null ? Difference(f) : null,
            f is { FittedHours: { } begun, TakenOffHours: { } ended } && ended >= begun
                ? (ended - begun) / 1000m
                : null,
            place?.Vehicle!.Built,
            isHere)
        {
            ShownFirst = first,
            ShownLast = last,
            Usage = isHere || place is null ? null : UsageOf(place, first, last, knownOn),
            Exposure = isHere || place is null ? null : ExposureOf(place),
        };
    }

    public static ExposureFacts? ExposureOf(StoredVehicle stored) =>
        WireHeatAgeing.Facts(VehicleColumns.HeatAgeing(stored.Vehicle!), stored.Periods
            .Where(p => p.Kind == VehiclePeriodKind.Temperature)
            .Select(p =>
                new ExposureSegment(p.FromOn, p.UntilOn ?? DateOnly.MaxValue, (p.MilliCelsius ?? 0) / 1000d)));

    private static UsageModel UsageOf(StoredVehicle place, ShownDistance? first, ShownDistance? last, DateOnly knownOn)
    {
        var facts = DueQuestions.UsageOf(place);
        return UsageModel.Of(
            facts with { Readings = [.. facts.Readings, .. new[] { first, last }.OfType<ShownDistance>()] }, knownOn);
    }

    // The difference of two showings of one unit; anything else is not known, never zero.
    private static Distance? Difference(Fitting f) =>
        f is { FittedThousandths: { } from, TakenOffThousandths: { } until, FittedUnit: { } unit }
        && unit == f.TakenOffUnit
        && until >= from
            ? Distance.Of((until - from) / 1000m, unit)
            : null;

    private static Fitting StillOn(Fitting f) => new()
    {
        ClubId = f.ClubId,
        Id = f.Id,
        ComponentId = f.ComponentId,
        VehicleId = f.VehicleId,
        Position = f.Position,
        FittedOn = f.FittedOn,
        FittedThousandths = f.FittedThousandths,
        FittedUnit = f.FittedUnit,
        FittedHours = f.FittedHours,
        NotedBy = f.NotedBy,
        RecordedAt = f.RecordedAt,
    };
}
