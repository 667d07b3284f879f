using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Due;

/// <summary>The step from a mark as typed to evidence with its readings.</summary>
public static class MarkEvidence
{
    /// <summary>The mark with all that is known about its part.</summary>
    /// <param name="seenOn">The day it was seen; null: the day on which the facts are stated.</param>
    /// <param name="original">The part left the works with the vehicle.</param>
    public static MarkQuestion Question(
        string text, string? convention, DateOnly? seenOn, PartKind? kind, VehicleFacts vehicle, bool original,
        DateOnly? knownOn) => new(text)
        {
            Convention = convention,
            Observed = seenOn ?? knownOn,
            VehicleBuilt = vehicle.Built,
            OriginalEquipment = original ? YesNo.Yes : YesNo.Unknown,
            Country = vehicle.Country,
            Likely = kind?.Mark.Likely ?? [],
            Possible = kind?.Mark.Possible ?? [],
        };

    /// <summary>Every reading the reader kept; expiry and manufacture stay apart.</summary>
    public static IReadOnlyList<EvidenceReading> Readings(MarkAnswer answer)
    {
        if (answer.Readings.Count == 0)
        {
            return [];
        }

        var readings = new EvidenceReading[answer.Readings.Count];
        for (var i = 0; i < readings.Length; i++)
        {
            var reading = answer.Readings[i];
            readings[i] = new(
                reading.Span, reading.Conventions.Count > 0
                    ? reading.Conventions[0].Key
                    : null, reading.Kind == MarkKind.Expiry, Margin(reading));
        }

        return readings;
    }

    // A reading that several conventions share is as unsure as the least sure of them.
    private static int Margin(in MarkReading reading)
    {
        var months = 0;
        foreach (var convention in reading.Conventions)
        {
            months = Math.Max(months, convention.MarginMonths);
        }

        return months;
    }
}
