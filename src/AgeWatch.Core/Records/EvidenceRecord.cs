using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;

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
    /// <param name="latest">The latest day on which it can have been seen or done. What a fitting must not say <see
    /// cref="FittingRecord"/> knows.</param>
    /// <param name="isOwnConvention">Whether the club has described the convention itself.</param>
    public static IEnumerable<Refusal> Check(
        EvidenceRecord evidence, DateOnly latest, Func<string, bool> isOwnConvention) =>
    [
        .. evidence.Kind == EvidenceKind.Fitted ? [] : PastDay.Check(evidence.On, latest, nameof(On)),
        .. CheckMembers(evidence),
        .. CheckMark(evidence, isOwnConvention),
        .. Shown.CheckDistance(evidence.Odometer, nameof(Odometer)),
        .. Shown.CheckHours(evidence.Hours, nameof(Hours)),
    ];

    private static IEnumerable<Refusal> CheckMark(EvidenceRecord evidence, Func<string, bool> isOwnConvention)
    {
        if (evidence.Text is { } text)
        {
            if (text.Length is 0 or > MarkQuestion.MaxTextLength)
            {
                yield return new(
                    "wrong-length", nameof(Text), $"Must have 1 to {MarkQuestion.MaxTextLength} characters.");
            }
            else if (!OneLineText.Accepts(text))
            {
                yield return new(OneLineText.Code, nameof(Text), "Must be one line of text, not blank.");
            }
        }

        if (evidence.Convention is { } convention
            && convention != MarkQuestion.Undeclared
            && MarkConventions.Find(convention) is null
            && !isOwnConvention(convention))
        {
            yield return new(
                "unknown-convention", nameof(Convention),
                $"There is no mark convention \"{convention}\"; GET /v1/mark-conventions lists them.");
        }
    }

    private static IEnumerable<Refusal> CheckMembers(EvidenceRecord evidence)
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
