using AgeWatch.Core.Due;

namespace AgeWatch.Core.Records;

/// <summary>One thing that an age rests on, as far as its members must fit each other.</summary>
public sealed record EvidenceRecord
{
    public required EvidenceKind Kind { get; init; }

    /// <summary>For a mark or plate the day it was seen; else the day the evidence speaks of.</summary>
    public required DateOnly? On { get; init; }

    public required string? Text { get; init; }

    public required string? Convention { get; init; }

    public required bool? Triangle { get; init; }

    /// <summary>What the odometer showed, in its own unit.</summary>
    public required decimal? Odometer { get; init; }

    /// <summary>What the hours meter showed.</summary>
    public required decimal? Hours { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    public static IEnumerable<Refusal> Check(EvidenceRecord evidence)
    {
        var isMark = evidence.Kind is EvidenceKind.Mark or EvidenceKind.Plate;
        if (evidence.Kind == EvidenceKind.Presumption)
        {
            yield return new(
                "not-evidence", nameof(Kind), "The presumption is what holds without evidence; leave it out.");
        }

        if (evidence.Kind == EvidenceKind.Mark && evidence.Text is null)
        {
            yield return new("missing", nameof(Text), "A mark needs its text, as read.");
        }

        if (!isMark && evidence.On is null)
        {
            yield return new("missing", nameof(On), "This kind of evidence needs its day.");
        }

        if (!isMark && evidence.Text is not null)
        {
            yield return new("not-a-mark", nameof(Text), "Only a mark or plate has a text.");
        }

        if (evidence.Convention is not null && evidence.Text is null)
        {
            yield return new("not-a-mark", nameof(Convention), "Only a text is read by a convention.");
        }

        if (!isMark && evidence.Triangle is not null)
        {
            yield return new("not-a-mark", nameof(Triangle), "Only a mark has a triangle.");
        }

        // Work on a car is noted with what it showed; an invoice or a mark was seen wherever it was.
        if (evidence.Kind is not (EvidenceKind.Fitted or EvidenceKind.Fill or EvidenceKind.Service))
        {
            if (evidence.Odometer is not null)
            {
                yield return new(
                    "not-fitted", nameof(Odometer), "Only a fitting, a fill or a service has an odometer.");
            }

            if (evidence.Hours is not null)
            {
                yield return new("not-fitted", nameof(Hours), "Only a fitting, a fill or a service has running hours.");
            }
        }
    }
}
