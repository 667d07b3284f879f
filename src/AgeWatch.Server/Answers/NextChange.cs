using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Answers;

/// <summary>When a stored answer must be worked out again although nothing was written.</summary>
internal static class NextChange
{
    /// <summary>The first day after <paramref name="day"/>; null: never. Core's next change takes the known facts as
    /// they stand.</summary>
    /// <param name="facts">What <see cref="FactsAfter"/> says of the vehicle.</param>
    public static DateOnly? Next(StoredVehicle stored, DateOnly? facts, DueAnswer answer, DateOnly day)
    {
        var next = Sooner(answer.NextChangeOn, facts);
        return HasMovingClock(answer) && stored.StillStandingFrom is { } from
            ? Sooner(next, (from > day ? from : day).PlusDaysClamped(1))
            : next;
    }

    /// <summary>The first later day of which something is on record: sold, or dated ahead and set aside until
    /// then.</summary>
    public static DateOnly? FactsAfter(StoredVehicle stored, DateOnly day)
    {
        var next = default(DateOnly?);
        Consider(stored.Vehicle?.GoneOn);
        foreach (var reading in stored.Readings)
        {
            Consider(reading.ReadOn);
        }

        foreach (var reading in stored.Hours)
        {
            Consider(reading.ReadOn);
        }

        foreach (var period in stored.Periods)
        {
            if (period.Kind == VehiclePeriodKind.Temperature)
            {
                Consider(period.FromOn);
            }
        }

        foreach (var component in stored.Components)
        {
            foreach (var evidence in component.Evidence)
            {
                Consider(evidence.On);
            }

            foreach (var fitting in component.Fittings)
            {
                Consider(fitting.FittedOn);
                Consider(fitting.TakenOffOn);
            }

            foreach (var finding in component.Findings)
            {
                Consider(finding.FoundOn);
            }
        }

        foreach (var task in stored.Tasks)
        {
            foreach (var record in task.Records)
            {
                Consider(record.DoneOn);
            }

            foreach (var finding in task.Findings)
            {
                Consider(finding.FoundOn);
            }
        }

        return next;

        void Consider(DateOnly? fact)
        {
            if (fact > day && !(fact >= next))
            {
                next = fact;
            }
        }
    }

    // A vehicle that still stands may move tomorrow: each day that it does not moves what is due by distance or hours.
    private static bool HasMovingClock(DueAnswer answer) =>
        answer.Usage is not null || answer.Limits.Any(limit => limit.Measure == LimitMeasure.Hours);

    private static DateOnly? Sooner(DateOnly? a, DateOnly? b) => a is null || b < a ? b : a;
}
