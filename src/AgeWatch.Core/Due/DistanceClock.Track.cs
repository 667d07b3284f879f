using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>Where a clock stands on the line of readings, at the low and the high end of the doubt.</summary>
internal static partial class DistanceClock
{
    private static (decimal Most, decimal Least, DateOnly On)? Track(
        UsageModel model, ClockStart start, ShownDistance? shown, DateSpan? built)
    {
        var readings = model.Distance.Readings;
        return Located(readings, shown)
            ?? (start.Days is { } days
                ? (MostBefore(model, days.First, built), LeastAfter(readings, days.Last), days.First)
                : null);
    }

    private static (decimal Most, decimal Least, DateOnly On)? Located(
        IReadOnlyList<CanonicalReading> readings, ShownDistance? shown)
    {
        if (shown is not null)
        {
            foreach (var reading in readings)
            {
                if (reading.Shown == shown)
                {
                    return (reading.High.Kilometres, reading.Low.Kilometres, reading.On);
                }
            }
        }

        return null;
    }

    /// <summary>The lowest total the clock can have started at, on the track of greatest distance.</summary>
    private static decimal MostBefore(UsageModel model, DateOnly day, DateSpan? built)
    {
        var readings = model.Distance.Readings;
        for (var i = readings.Count - 1; i >= 0; i--)
        {
            if (readings[i].On <= day)
            {
                return readings[i].High.Kilometres;
            }
        }

        var first = readings[0];
        var sinceNew = Distance.Of(first.Shown.Value, first.Shown.Unit).Kilometres;
        if (!model.CountsSinceNew(built))
        {
            var from = built is { } made && day < made.First ? made.First : day;
            return -Math.Max(sinceNew, model.Distance.MostPerDay * Math.Max(0, first.On.DayNumber - from.DayNumber));
        }

        if (built is not { } car || car.First >= first.On || day <= car.First)
        {
            return -sinceNew;
        }

        var share = (decimal)(first.On.DayNumber - day.DayNumber) / (first.On.DayNumber - car.First.DayNumber);
        var atRate = model.Basis is RateBasis.None or RateBasis.Fleet
            ? sinceNew
            : (decimal)Math.Min(1e12, model.Rate.Rate * (model.Clock.At(first.On) - model.Clock.At(day)));
        return -Math.Min(sinceNew, Math.Max(share * sinceNew, atRate));
    }

    private static decimal LeastAfter(IReadOnlyList<CanonicalReading> readings, DateOnly day)
    {
        foreach (var reading in readings)
        {
            if (reading.On >= day)
            {
                return reading.Low.Kilometres;
            }
        }

        return readings[^1].Low.Kilometres;
    }

    private static decimal LowBefore(IReadOnlyList<CanonicalReading> readings, DateOnly day)
    {
        var low = 0m;
        foreach (var reading in readings)
        {
            low = reading.On <= day ? reading.Low.Kilometres : low;
        }

        return low;
    }
}
