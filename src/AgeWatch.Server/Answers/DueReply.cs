using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Answers;

/// <summary>A due answer on the wire, with everything it rests on.</summary>
/// <param name="Certainty">certain: even the latest due day has come; possible: only the earliest.</param>
/// <param name="Due">First and last day on which the governing limit is reached; null: no day can be told.</param>
/// <param name="Limits">Every limit looked at, the beaten ones too.</param>
/// <param name="NextChangeOn">The first later day on which the answer can change with no new fact; null: never.</param>
/// <param name="Reasons">Sentences that can be checked by hand.</param>
/// <param name="Questions">What would make the answer sharper, the most telling first.</param>
internal sealed record DueReply(
    DateOnly AsOf,
    string PartKind,
    string PartKindName,
    HazardClass Hazard,
    DueState State,
    Certainty Certainty,
    BornReply Born,
    DueDaysReply? Due,
    LimitReply? Governing,
    IReadOnlyList<LimitReply> Limits,
    DateOnly? NextChangeOn,
    DeferralStanding Deferral,
    DateOnly? DeferredUntil,
    IReadOnlyList<string> Reasons,
    IReadOnlyList<string> Questions,
    IReadOnlyList<string> Cautions,
    string RuleVersion)
{
    /// <param name="partKind">A kind that the catalogue no longer has is shown by its key.</param>
    public static DueReply From(DueAnswer a, string partKind) =>
        From(a, partKind, PartCatalogue.BuiltIn.Find(partKind));

    private static DueReply From(DueAnswer a, string key, PartKind? kind) => new(
        a.AsOf,
        key,
        kind?.Name ?? key,
        a.Hazard,
        a.State,
        a.Certainty,
        BornReply.From(a.Born),
        DueDaysReply.From(a.Due),
        a.Governing is { } governing ? LimitReply.From(governing) : null,
        [.. a.Limits.Select(l => LimitReply.From(l))],
        a.NextChangeOn,
        a.DeferralStanding,
        a.DeferredUntil,
        a.Reasons,
        a.Questions,
        kind?.Cautions ?? [],
        PartCatalogue.BuiltIn.Version);
}

/// <param name="Evidence">What the span rests on; null: nothing is known.</param>
/// <param name="Readings">Every reading of the marks that can stand.</param>
/// <param name="Dropped">Readings that lie wholly outside what is possible.</param>
internal sealed record BornReply(
    DateOnly? Earliest, DateOnly? Latest, EvidenceKind? Evidence, string? Mark,
    IReadOnlyList<BornReadingReply> Readings, IReadOnlyList<BornReadingReply> Dropped)
{
    public static BornReply From(Birth b) => new(
        b.Span?.First, b.Span?.Last, b.Basis, b.Evidence?.Text, [.. b.Readings.Select(BornReadingReply.From)],
        [.. b.Dropped.Select(BornReadingReply.From)]);
}

internal sealed record BornReadingReply(DateOnly Earliest, DateOnly Latest, string? Convention, bool Expiry)
{
    public static BornReadingReply From(EvidenceReading r) => new(r.Days.First, r.Days.Last, r.Convention, r.IsExpiry);
}

/// <param name="Latest">Null: no latest day can be told.</param>
internal sealed record DueDaysReply(DateOnly Earliest, DateOnly? Latest)
{
    public static DueDaysReply? From(DateSpan? span) =>
        span is { } s ? new(s.First, s.Last == DateOnly.MaxValue ? null : s.Last) : null;
}

/// <summary>One number of one limit, with the days on which it is reached.</summary>
/// <param name="Anchor">What it was counted from.</param>
/// <param name="Unit">months, km, mi, hours, day or finding.</param>
/// <param name="Tag">Where the number comes from.</param>
/// <param name="Reference">Id or text of the source; null: common practice, no source.</param>
/// <param name="LastDay">The printed day.</param>
internal sealed record LimitReply(
    LimitLevel Level,
    AgeAnchor Anchor,
    decimal? Number,
    string Unit,
    Tag Tag,
    string? Reference,
    DateOnly? LastDay,
    LimitStanding Standing,
    DueDaysReply? CountedFrom,
    DueDaysReply? Due,
    DateOnly? Likely)
{
    public static LimitReply From(AssessedLimit l) => new(
        l.Level,
        l.Anchor,
        l.Number,
        l.Unit,
        l.Tag,
        l.Reference,
        l.Limit.LastDay,
        l.Standing,
        DueDaysReply.From(l.From),
        DueDaysReply.From(l.Due),
        l.Likely);
}
