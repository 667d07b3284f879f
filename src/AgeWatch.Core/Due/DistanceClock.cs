using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <remarks>
/// Distance already on record crosses the limit on a line between two readings, at the latest on the day of the second;
/// beyond the last reading the projection tells, its early day first. What was shown when the clock started and is not
/// known is taken to be low: from the reading before that day, or, before all readings, at the higher of the present
/// rate and the average of the vehicle's whole life; the club's figure is no present rate. Both ends of an open gap are
/// carried along. Where readings contradict each other each that can be right is followed, and the worst counts.
/// </remarks>
internal static partial class DistanceClock
{
    /// <param name="limit">Kilometres, or hours, from the start.</param>
    /// <param name="carried">What the part had run before its present fitting, least and most.</param>
    public static DistanceReach Reach(
        UsageModel model, ClockStart start, ShownDistance? shown, decimal limit, (decimal Least, decimal Most) carried,
        DateSpan? built)
    {
        var reach = On(model, start, shown, limit, carried, built);
        foreach (var other in model.Alternatives)
        {
            reach = reach.OrWorse(On(other, start, shown, limit, carried, built));
        }

        return reach;
    }

    private static DistanceReach On(
        UsageModel model, ClockStart start, ShownDistance? shown, decimal limit, (decimal Least, decimal Most) carried,
        DateSpan? built)
    {
        var (left, atMost) = (limit - carried.Most, limit - carried.Least);
        limit = Math.Max(0, left);
        var latest = Math.Max(0, atMost);
        var readings = model.Distance.Readings;
        if (readings.Count == 0)
        {
            return model.Basis == RateBasis.None || start.Days is not { } from
                ? default
                : Projected(model.After(from.First, new(limit)), model.After(from.Last, new(latest)), null);
        }

        if (Track(model, start, shown, built) is not var (most, least, startOn))
        {
            return default;
        }

        var last = readings[^1];
        var likely = default(DateOnly?);
        var never = false;
        if (Crossing(readings, most + limit, reading => reading.High.Kilometres, startOn) is { } early)
        {
            likely = early;
        }
        else if (model.Basis == RateBasis.None)
        {
            return default;
        }
        else
        {
            var reached = model.After(last.On, new(most + limit - last.High.Kilometres));
            likely = reached.Likely;
            never = reached.Early is null;
            early = reached.Early ?? DateOnly.MaxValue;
        }

        var late = FirstAt(readings, least + latest);
        if (late is null && model.Basis != RateBasis.None)
        {
            var from = start.Days is { } days && days.Last > last.On && shown is null ? days.Last : last.On;
            var more = (double)(least + latest - last.Low.Kilometres);
            late = model.After(from, more, more).Late;
        }

        var at = shown is { } mark && limit == latest && !HasOpenGap(model, mark)
            ? Distance.Of(mark.Value, mark.Unit).Kilometres + limit
            : default(decimal?);
        var remains = Amount(most + left - last.High.Kilometres, least + atMost - last.Low.Kilometres, last.On);
        if (never)
        {
            return new(null, null, model.IsDeclared, at, remains);
        }

        var end = late ?? DateOnly.MaxValue;
        return new(new DateSpan(early, end < early ? early : end), likely, false, at, remains);
    }

    /// <summary>What was covered from the start to the last reading; null without a reading or a start.</summary>
    public static MovingAmount? Covered(
        UsageModel model, ClockStart start, (decimal Least, decimal Most) carried, DateSpan? built)
    {
        var covered = CoveredOn(model, start, carried, built);
        foreach (var other in model.Alternatives)
        {
            covered = MovingAmount.Hull(covered, CoveredOn(other, start, carried, built));
        }

        return covered;
    }

    private static MovingAmount? CoveredOn(
        UsageModel model, ClockStart start, (decimal Least, decimal Most) carried, DateSpan? built)
    {
        if (model.Last is not { } last || Track(model, start, start.Shown, built) is not var (most, least, _))
        {
            return null;
        }

        return Amount(
            carried.Least + Math.Max(0, last.Low.Kilometres - least),
            carried.Most + Math.Max(0, last.High.Kilometres - most),
            last.On);
    }

    /// <summary>What was covered from the start to a later day; null without a reading or a start.</summary>
    /// <param name="shown">What the odometer showed on that day; null: not known, so between the readings about
    /// it.</param>
    public static (decimal Least, decimal Most)? Between(
        UsageModel model, ClockStart start, DateOnly until, ShownDistance? shown, DateSpan? built)
    {
        var between = BetweenOn(model, start, until, shown, built);
        foreach (var other in model.Alternatives)
        {
            if (BetweenOn(other, start, until, shown, built) is { } its)
            {
                between = between is { } mine
                    ? (Math.Min(mine.Least, its.Least), Math.Max(mine.Most, its.Most))
                    : its;
            }
        }

        return between;
    }

    private static (decimal Least, decimal Most)? BetweenOn(
        UsageModel model, ClockStart start, DateOnly until, ShownDistance? shown, DateSpan? built)
    {
        if (model.Last is not { } last || Track(model, start, start.Shown, built) is not var (most, least, _))
        {
            return null;
        }

        var readings = model.Distance.Readings;
        var end = Located(readings, shown) is { } there
            ? (Low: there.Least, High: there.Most)
            : (Low: last.On <= until ? last.Low.Kilometres : LowBefore(readings, until),
                High: last.On >= until
                    ? readings.First(reading => reading.On >= until).High.Kilometres
                    : last.High.Kilometres
                        + model.Distance.MostPerDay * (until.DayNumber - last.On.DayNumber));
        return (Math.Max(0, end.Low - least), Math.Max(0, end.High - most));
    }

    private static MovingAmount Amount(decimal a, decimal b, DateOnly on) => new(Math.Min(a, b), Math.Max(a, b), on);

    private static DistanceReach Projected(ReachedOn first, ReachedOn last, decimal? at) =>
        first.Early is not { } early
            ? new(null, null, true, at)
            : new(
                new DateSpan(early, last.Late is { } late && late >= early ? late : DateOnly.MaxValue), first.Likely,
                false, at);

    private static DateOnly? FirstAt(IReadOnlyList<CanonicalReading> readings, decimal total)
    {
        foreach (var reading in readings)
        {
            if (reading.Low.Kilometres >= total)
            {
                return reading.On;
            }
        }

        return null;
    }

    private static DateOnly? Crossing(
        IReadOnlyList<CanonicalReading> readings, decimal total, Func<CanonicalReading, decimal> track,
        DateOnly notBefore)
    {
        for (var i = 0; i < readings.Count; i++)
        {
            if (track(readings[i]) < total)
            {
                continue;
            }

            var day = readings[i].On;
            if (i > 0)
            {
                var before = readings[i - 1];
                var step = track(readings[i]) - track(before);
                var share = step > 0 ? (total - track(before)) / step : 0;
                day = before.On.AddDays((int)Math.Floor(share * (day.DayNumber - before.On.DayNumber)));
            }

            return day < notBefore ? (notBefore <= readings[i].On ? notBefore : readings[i].On) : day;
        }

        return null;
    }

    private static bool HasOpenGap(UsageModel model, ShownDistance since)
    {
        foreach (var gap in model.Distance.Gaps)
        {
            if (gap.Until > since.On)
            {
                return true;
            }
        }

        return model.Distance.Readings.Any(reading =>
            reading.On > since.On && (reading.Rollovers > 0 || reading.Shown.Instrument != since.Instrument));
    }
}
