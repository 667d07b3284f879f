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

    /// <summary>What can be told of the part without its evidence; see <see cref="MarkQuestion.Bounds"/>.</summary>
    public static IReadOnlyList<AgeBound> Bounds(PartKind? kind, DateSpan? built) =>
        PartBounds.Of(kind?.FirstMade, kind?.FitsAnyCar ?? false, built);

    /// <summary>The evidence with every reading that the reader kept, the rare ones too; expiry and manufacture stay
    /// apart.</summary>
    /// <param name="convention">The one that was named; null or undeclared: none.</param>
    public static Evidence Read(this Evidence evidence, MarkAnswer answer, string? convention)
    {
        var isNamed = convention is { Length: > 0 } and not MarkQuestion.Undeclared;
        if (answer.Readings.Count == 0)
        {
            return answer.IsImpossible ? evidence with { Impossible = answer.Reason } : evidence;
        }

        var readings = new EvidenceReading[answer.Readings.Count + answer.Remote.Count];
        for (var i = 0; i < readings.Length; i++)
        {
            var isNear = i < answer.Readings.Count;
            var reading = isNear ? answer.Readings[i] : answer.Remote[i - answer.Readings.Count].Reading;
            readings[i] = new(
                reading.Span, reading.Conventions.Count > 0
                    ? reading.Conventions[0].Key
                    : null, reading.Kind == MarkKind.Expiry, Margin(reading))
            {
                IsNamed = isNamed,
                IsKindUnsure = reading.IsKindUnsure,
                Below = isNear ? null : answer.Remote[i - answer.Readings.Count].Bound,
            };
        }

        return evidence with { Readings = readings };
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
