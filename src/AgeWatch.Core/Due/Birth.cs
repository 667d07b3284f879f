using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Due;

/// <summary>When a part was made, as far as the evidence tells.</summary>
public sealed record Birth
{
    /// <summary>Earliest and latest day; the earliest governs. Null: nothing is known, not even when the vehicle was
    /// built.</summary>
    public DateSpan? Span { get; init; }

    /// <summary>What the span rests on; null when there is none.</summary>
    public EvidenceKind? Basis { get; init; }

    /// <summary>The evidence the earliest day comes from; null for the presumption.</summary>
    public Evidence? Evidence { get; init; }

    /// <summary>Every possible reading of the marks, the earliest first; empty without a readable mark.</summary>
    public IReadOnlyList<EvidenceReading> Readings { get; init; } = [];

    /// <summary>Readings that lie wholly outside what is possible.</summary>
    public IReadOnlyList<EvidenceReading> Dropped { get; init; } = [];

    /// <summary>Possible readings that a bound sets aside while a nearer one of the same mark stands; they do not
    /// govern.</summary>
    public IReadOnlyList<RemoteEvidence> Remote { get; init; } = [];

    /// <summary>When the vehicle that it was first on was built.</summary>
    internal DateSpan? VehicleBuilt { get; init; }

    /// <summary>Reads the evidence of a component.</summary>
    /// <remarks>
    /// A reading is dropped whole when it starts after the day its mark was seen, after the first day the part is known
    /// to have existed (by any dated fact of it), or, for an original part, after its vehicle was built. What is left
    /// is never clipped. Where marks of a convention are known to be off, a reading is taken with that margin. Readings
    /// that the kind, the car or the part's own paper make hard to believe are set aside while a nearer one of the mark
    /// stands, unless a person named the convention; expiries are not, for of those the first governs whatever the
    /// others say.
    /// Its vehicle is the one it was first on: neither an original part nor an undated one gets younger by moving to
    /// a younger vehicle. For the same reason a part that came off a vehicle on which it had been since nobody knows
    /// when is presumed as old as that vehicle, whatever day it was put back: the days say only that it existed.
    /// </remarks>
    internal static Birth Of(ComponentFacts component, DueQuestion question, DueTrail trail)
    {
        var built = component.Stays is [var origin, ..] ? origin.VehicleBuilt : question.Vehicle.Built;
        var seen = Existence.Of(component, trail);
        var existed = seen.ExistedOn;
        var isNew = seen is { NewOn: not null, IsSinceNobodyKnows: false };
        IReadOnlyList<AgeBound>? bounds = null;
        List<EvidenceReading>? kept = null;
        List<RemoteEvidence>? remote = null;
        List<EvidenceReading>? dropped = null;
        Evidence? governing = null;
        DateSpan? told = null;
        var isContradicted = false;
        foreach (var evidence in component.Evidence)
        {
            if (evidence.Kind is not (EvidenceKind.Mark or EvidenceKind.Plate))
            {
                continue;
            }

            if (evidence.Readings.Count == 0)
            {
                trail.Note(evidence.Impossible is { } why
                    ? new(DueNoteCode.MarkImpossible, evidence, Detail: why)
                    : new(DueNoteCode.MarkUnread, evidence));
                continue;
            }

            List<EvidenceReading> possible = [];
            var isExpiry = false;
            var contradicted = false;
            DateSpan? says = null;
            foreach (var reading in evidence.Readings)
            {
                if (reading.IsExpiry)
                {
                    isExpiry = true;
                    continue;
                }

                var first = reading.Possible.First;
                var tooYoung = first > existed || component.Original && first > built?.Last;
                if (tooYoung || first > evidence.On || first > question.KnownOn)
                {
                    contradicted |= tooYoung;
                    (dropped ??= []).Add(reading);
                    trail.Note(new(DueNoteCode.ReadingDropped, evidence, reading.Days));
                    continue;
                }

                possible.Add(reading);
            }

            if (possible.Count == 0 && !isExpiry)
            {
                trail.Note(new(DueNoteCode.MarkImpossible, evidence));
                if (contradicted)
                {
                    isContradicted = true;
                    trail.Note(new(DueNoteCode.EvidenceDisagrees, evidence));
                    trail.Ask(
                        DueAskCode.MarkOrFact, evidence.Text,
                        existed is { } on ? DateSpan.Day(on) : built);
                }
            }

            if (possible.Count > 1 && !possible[0].IsNamed)
            {
                bounds ??= PartBounds.Of(component, question, built, isNew ? existed : null);
                PartBounds.SetAside(possible, bounds, evidence, remote ??= []);
            }

            foreach (var reading in possible)
            {
                says = says?.HullWith(reading.Possible) ?? reading.Possible;
                if (kept is null || reading.Possible < kept[0].Possible)
                {
                    (kept ??= []).Insert(0, reading);
                    governing = evidence;
                }
                else
                {
                    kept.Add(reading);
                }
            }

            if (says is { } mine)
            {
                if (told is { } others && (mine.Last < others.First || others.Last < mine.First))
                {
                    trail.Note(new(DueNoteCode.EvidenceDisagrees, evidence, mine));
                }

                told = told?.HullWith(mine) ?? mine;
            }
        }

        if (kept is not null)
        {
            var span = kept[0].Possible;
            foreach (var reading in kept)
            {
                span = span.HullWith(reading.Possible);
            }

            if (kept.Count > 2)
            {
                kept.Sort((a, b) => a.Possible.CompareTo(b.Possible));
            }

            return new()
            {
                Span = span,
                Basis = governing!.Kind,
                Evidence = governing,
                Readings = kept,
                Dropped = dropped
                ?? [],
                Remote = remote ?? [],
                VehicleBuilt = built,
            };
        }

        if (component.Original && built is not null)
        {
            return new() { Span = built, Basis = EvidenceKind.Presumption, Dropped = dropped ?? [] };
        }

        return seen.Bought(question.Kind.Shelf.Value, built, isContradicted) is { } bought
            ? new()
            {
                Span = bought,
                Basis = seen.FirstPaper?.Kind ?? EvidenceKind.Fitted,
                Evidence = seen.FirstPaper,
                Dropped = dropped ?? []
            }
            : built is null
            ? new() { Dropped = dropped ?? [] }
            : new() { Span = built, Basis = EvidenceKind.Presumption, Dropped = dropped ?? [] };
    }
}
