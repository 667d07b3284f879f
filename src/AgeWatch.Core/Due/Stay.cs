using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>A period that a component spends on a vehicle. The life of a part is its stays: age, distance and heat
/// travel with it.</summary>
/// <param name="From">Null: nobody knows since when.</param>
/// <param name="Until">The day it came off; null: it is still there.</param>
/// <param name="Distance">What it ran there, if somebody knows; null: <see cref="Usage"/> tells, or nothing.</param>
/// <param name="Hours">Running hours there; null: not known.</param>
/// <param name="VehicleBuilt">When that vehicle was built; null: not known.</param>
/// <param name="OnThisVehicle">It is the vehicle asked about: its own odometer tells what the part ran.</param>
public sealed record Stay(
    DateOnly? From,
    DateOnly? Until,
    Distance? Distance,
    decimal? Hours = null,
    DateSpan? VehicleBuilt = null,
    bool OnThisVehicle = false)
{
    /// <summary>What the odometer showed on the first day; null: not known.</summary>
    public ShownDistance? ShownFirst { get; init; }

    /// <summary>What it showed on the last.</summary>
    public ShownDistance? ShownLast { get; init; }

    /// <summary>The odometer track of that vehicle; null: not known. Unused on the vehicle asked about.</summary>
    public UsageModel? Usage { get; init; }

    /// <summary>How warm that vehicle was kept; null: it plays no part. Unused when it is the vehicle asked
    /// about.</summary>
    public ExposureFacts? Exposure { get; init; }

    /// <summary>What it ran here since a clock started; null when it cannot be told.</summary>
    /// <param name="since">The days on which the clock can have started; null: not known, so before this stay.</param>
    /// <param name="shown">What the odometer showed then, if it was this vehicle's.</param>
    /// <param name="own">The track of the vehicle asked about.</param>
    internal (decimal Least, decimal Most)? Ran(DateSpan? since, ShownDistance? shown, UsageModel? own)
    {
        if (Until is not { } until || since is { } begun && begun.First >= until)
        {
            return (0, 0);
        }

        var isWhole = since is not { } start || From is { } from && start.Last <= from;
        if (isWhole && Distance is { } told)
        {
            return (told.Kilometres, told.Kilometres);
        }

        if ((OnThisVehicle ? own : Usage) is not { } model || model.Distance.Readings.Count == 0)
        {
            return null;
        }

        var first = From is { } known && !(since?.First > known) ? known : since?.First ?? VehicleBuilt?.First;
        var last = From is { } begin && !(since?.Last > begin) ? begin : since?.Last ?? until;
        if (first is not { } earliest)
        {
            return null;
        }

        var clock = new ClockStart(
            AgeAnchor.Fitting, new DateSpan(earliest, last < earliest ? earliest : last > until ? until : last),
            isWhole ? ShownFirst : shown);
        var ran = DistanceClock.Between(model, clock, until, ShownLast, VehicleBuilt);
        if (ran is not { } span)
        {
            return null;
        }

        // Since when is not known: it may have been put on the day before it came off.
        return (since is null && From is null ? 0 : span.Least, span.Most);
    }
}
