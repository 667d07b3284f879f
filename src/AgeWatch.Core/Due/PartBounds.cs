using System.Globalization;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Due;

/// <summary>What is known of a kind, a car and a part that tells how old its mark is hardly to be believed.</summary>
public static class PartBounds
{
    /// <summary>The bounds that need no evidence of the part itself, the strongest first.</summary>
    /// <param name="fitsAnyCar">Then the car it is on bounds nothing.</param>
    public static IReadOnlyList<AgeBound> Of(FirstMade? firstMade, bool fitsAnyCar, DateSpan? built)
    {
        List<AgeBound> bounds = [];
        if (firstMade is { } first)
        {
            bounds.Add(new(
                AgeBoundRule.FirstOfKind, new(first.Year, 1, 1),
                string.Create(
                    CultureInfo.InvariantCulture, $"such parts were not made before {first.Year}: {first.Why}"),
                first.Tag, first.Reference));
        }

        if (built is { } car && !fitsAnyCar)
        {
            bounds.Add(AgeBound.OfCar(car));
        }

        return bounds;
    }

    /// <summary>
    /// Parts the possible readings of one mark: what a bound sets aside goes to <paramref name="remote"/>, and stays while
    /// nothing nearer stands.
    /// </summary>
    internal static void SetAside(
        List<EvidenceReading> readings, IReadOnlyList<AgeBound> bounds, Evidence mark, List<RemoteEvidence> remote)
    {
        var near = readings.FindAll(reading => reading.Below is null);
        if (near.Count > 0 && near.Count < readings.Count)
        {
            foreach (var reading in readings)
            {
                if (reading.Below is { } below)
                {
                    remote.Add(new(mark, reading, below));
                }
            }

            Replace(readings, near);
        }

        foreach (var bound in bounds)
        {
            near = readings.FindAll(reading => reading.Possible.Last >= bound.NotBefore);
            if (near.Count == 0 || near.Count == readings.Count)
            {
                continue;
            }

            foreach (var reading in readings)
            {
                if (reading.Possible.Last < bound.NotBefore)
                {
                    remote.Add(new(mark, reading, bound));
                }
            }

            Replace(readings, near);
        }
    }

    private static void Replace(List<EvidenceReading> readings, List<EvidenceReading> near)
    {
        readings.Clear();
        readings.AddRange(near);
    }
}

/// <summary>A reading of a mark that is kept and does not govern while a nearer one stands.</summary>
/// <param name="Mark">The mark it is a reading of.</param>
/// <param name="Bound">What it lies below.</param>
public readonly record struct RemoteEvidence(Evidence Mark, EvidenceReading Reading, AgeBound Bound);
