using System.Globalization;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Due;

/// <summary>What is known of a kind, a car and a part that tells how old its mark is hardly to be believed.</summary>
public static class PartBounds
{
    private const int MonthsOfBilling = 3;

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
    /// Parts the possible readings of one mark, all of manufacture: what a bound sets aside goes to
    /// <paramref name="remote"/>, and stays while nothing nearer stands.
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

    /// <summary>Of the kind, the car, and the paper or the fitting, the strongest first.</summary>
    internal static IReadOnlyList<AgeBound> Of(
        ComponentFacts component, DueQuestion question, DateSpan? built, DateOnly? existed)
    {
        var kind = question.Kind;
        var bounds = Of(kind.FirstMade, kind.FitsAnyCar, built);
        return component.Original || existed is not { } day
            ? bounds
            : [.. bounds, BoughtBy(component, day, question.KnownOn) ? OfShelf(day, kind) : AgeBound.OfFitting(day)];
    }

    /// <summary>The shelf is the shorter of what the kind is allowed undated and what it may lie at all.</summary>
    private static AgeBound OfShelf(DateOnly bought, KindRules kind)
    {
        var shelf = kind.StorageLimit is { } storage && storage.Value < kind.Shelf.Value ? storage : kind.Shelf;
        return AgeBound.OfPaper(bought, shelf.Value, shelf.Tag, shelf.Reference);
    }

    /// <summary>
    /// A paper of about the first day it is known to have existed is that of its buying; one of years later is not. A
    /// garage's bill can be of weeks after the work.
    /// </summary>
    private static bool BoughtBy(ComponentFacts component, DateOnly existed, DateOnly? knownOn)
    {
        foreach (var evidence in component.Evidence)
        {
            if (evidence is { Kind: EvidenceKind.Document, On: { } on } && !(on > knownOn)
                && on <= existed.PlusMonthsClamped(MonthsOfBilling))
            {
                return true;
            }
        }

        return false;
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
