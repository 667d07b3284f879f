using System.ComponentModel.DataAnnotations;
using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Vehicles;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>An odometer.</summary>
/// <param name="Digits">Whole-number drums without tenths; absent: not known, so no rollover is assumed.</param>
internal sealed record WireInstrument(
    [StringLength(64, MinimumLength = 1), OneLine] string Id,
    DistanceUnit Unit,
    [Range(3, 8)] int? Digits = null,
    DateOnly? FittedOn = null,
    DateOnly? RemovedOn = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (RemovedOn < FittedOn)
        {
            faults.Add(nameof(RemovedOn), "before-fitted", "It cannot have been removed before it was fitted.");
        }
    }

    public Odometer ToOdometer() =>
        new() { Id = Id, Unit = Unit, Digits = Digits, FittedOn = FittedOn, RemovedOn = RemovedOn };
}

/// <summary>A time in which the vehicle does not move; both days included.</summary>
/// <param name="To">Absent: still standing.</param>
internal sealed record WireStanding(DateOnly From, DateOnly? To = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (To < From)
        {
            faults.Add(nameof(To), "before-from", "It cannot end before it starts.");
        }
    }
}

/// <summary>A trip that adds its distance on its days, on top of ordinary use.</summary>
/// <param name="To">Included; absent: one day.</param>
internal sealed record WireTrip(DateOnly From, WireDistance Distance, DateOnly? To = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (Distance is { Value: 0 })
        {
            faults.Add(nameof(Distance), "out-of-range", "Must be more than nothing.");
        }

        if (To < From)
        {
            faults.Add(nameof(To), "before-from", "It cannot end before it starts.");
        }
    }
}

internal static class WireUsage
{
    public static UsageFacts Facts(
        IReadOnlyList<WireInstrument>? instruments,
        IReadOnlyList<OdometerReadingRequest>? readings,
        WireSeason? season,
        IReadOnlyList<WireStanding>? standing,
        IReadOnlyList<WireTrip>? trips,
        WireDistance? declaredPerYear,
        WireDistance? maxPerDay) => new()
        {
            Instruments = [.. (instruments ?? []).Select(i => i.ToOdometer())],
            Readings = [.. (readings ?? []).Select(r => r.ToShown())],
            Season = season is { } s ? new Season(DayOfYear(s.From), DayOfYear(s.To)) : null,
            Standing = [.. (standing ?? []).Select(s => new StandingPeriod(s.From, s.To))],
            PlannedTrips = [.. (trips ?? [])
                .Select(t => new PlannedTrip(t.From, t.To ?? t.From, t.Distance.ToDistance()))],
            DeclaredPerYear = declaredPerYear?.ToDistance(),
            MaxPerDay = maxPerDay?.ToDistance(),
        };

    public static void CheckInstruments(
        IReadOnlyList<WireInstrument>? instruments, FieldFaults faults, string member)
    {
        var ids = (instruments ?? []).Select(i => i.Id).ToList();
        foreach (var (index, _) in ids.Index().Where(i => ids.IndexOf(i.Item) < i.Index))
        {
            faults.AddItem(member, index, "doubled", "Another instrument has this id.");
        }
    }

    private static MonthDay DayOfYear(string text) => new(
        int.Parse(text.AsSpan(0, 2), CultureInfo.InvariantCulture),
        int.Parse(text.AsSpan(3, 2), CultureInfo.InvariantCulture));
}
