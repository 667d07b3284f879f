using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;

namespace AgeWatch.Server.Answers;

/// <summary>A due answer on the wire, with everything it rests on.</summary>
internal sealed record DueReply
{
    public required DateOnly AsOf { get; init; }

    public required string PartKind { get; init; }

    public required string PartKindName { get; init; }

    public required HazardClass Hazard { get; init; }

    public required DueState State { get; init; }

    /// <summary>certain: even the latest due day has come; possible: only the earliest.</summary>
    public required Certainty Certainty { get; init; }

    /// <summary>mandatory when any limit behind the state is, not only the governing one; null: none is
    /// behind it.</summary>
    public required Force? Force { get; init; }

    public required BornReply Born { get; init; }

    /// <summary>First and last day on which the governing limit is reached; null: no day can be told.</summary>
    public required DueDaysReply? Due { get; init; }

    public required LimitReply? Governing { get; init; }

    /// <summary>Every limit looked at, the beaten ones too.</summary>
    public required IReadOnlyList<LimitReply> Limits { get; init; }

    /// <summary>The first later day on which the answer can change with no new fact; null: never.</summary>
    public required DateOnly? NextChangeOn { get; init; }

    public required DeferralStanding Deferral { get; init; }

    public required DateOnly? DeferredUntil { get; init; }

    /// <summary>Sentences that can be checked by hand.</summary>
    public required IReadOnlyList<string> Reasons { get; init; }

    /// <summary>Only what decides: some answer changes state, certainty or the governing limit. The most telling
    /// first.</summary>
    public required IReadOnlyList<string> Questions { get; init; }

    /// <summary>The same questions, each with what its answers lead to.</summary>
    public required IReadOnlyList<AskReply> Asks { get; init; }

    public required IReadOnlyList<string> Cautions { get; init; }

    public required string RuleVersion { get; init; }

    /// <param name="partKind">A kind that the catalogue no longer has is shown by its key.</param>
    public static DueReply From(DueAnswer a, string partKind) =>
        From(a, partKind, PartCatalogue.BuiltIn.Find(partKind));

    /// <summary>Beside the others of its vehicle, which is asked about itself once.</summary>
    public static DueReply BesideOthers(DueAnswer a, string partKind)
    {
        DueAsk[] own = [.. a.Asks.Where(ask => !ask.IsOfVehicle)];
        return From(a, partKind) with
        {
            Questions = [.. own.Select(ask => ask.Sentence)],
            Asks = [.. own.Select(AskReply.From)],
        };
    }

    private static DueReply From(DueAnswer a, string key, PartKind? kind) => new()
    {
        AsOf = a.AsOf,
        PartKind = key,
        PartKindName = kind?.Name ?? key,
        Hazard = a.Hazard,
        State = a.State,
        Certainty = a.Certainty,
        Force = a.Force,
        Born = BornReply.From(a.Born),
        Due = DueDaysReply.From(a.Due),
        Governing = a.Governing is { } governing ? LimitReply.From(governing) : null,
        Limits = [.. a.Limits.Select(l => LimitReply.From(l))],
        NextChangeOn = a.NextChangeOn,
        Deferral = a.DeferralStanding,
        DeferredUntil = a.DeferredUntil,
        Reasons = a.Reasons,
        Questions = a.Questions,
        Asks = [.. a.Asks.Select(AskReply.From)],
        Cautions = kind?.Cautions ?? [],
        RuleVersion = PartCatalogue.BuiltIn.Version,
    };
}

/// <param name="Evidence">What the span rests on; null: nothing is known.</param>
/// <param name="Readings">Every reading of the marks that can stand.</param>
/// <param name="Dropped">Readings that lie wholly outside what is possible.</param>
/// <param name="Remote">Possible readings that nobody would believe beside the others; they do not govern while a
/// nearer one of the same mark stands. Naming the convention of the mark lifts this.</param>
internal sealed record BornReply(
    DateOnly? Earliest, DateOnly? Latest, EvidenceKind? Evidence, string? Mark,
    IReadOnlyList<BornReadingReply> Readings, IReadOnlyList<BornReadingReply> Dropped,
    IReadOnlyList<RemoteReadingReply> Remote)
{
    public static BornReply From(Birth b) => new(
        b.Span?.First, b.Span?.Last, b.Basis, b.Evidence?.Text, [.. b.Readings.Select(BornReadingReply.From)],
        [.. b.Dropped.Select(BornReadingReply.From)],
        [.. b.Remote.Select(r => new RemoteReadingReply(
            r.Mark.Text, BornReadingReply.From(r.Reading), BoundReply.From(r.Bound)))]);
}

internal sealed record RemoteReadingReply(string? Mark, BornReadingReply Reading, BoundReply Bound);

/// <summary>A rule below which a reading is hard to believe.</summary>
/// <param name="NotBefore">What ends before this day is remote.</param>
/// <param name="Tag">Where the rule comes from.</param>
/// <param name="Reference">Null: no source was read.</param>
internal sealed record BoundReply(AgeBoundRule Rule, DateOnly NotBefore, string Reason, Tag Tag, string? Reference)
{
    public static BoundReply From(AgeBound b) => new(b.Rule, b.NotBefore, b.Sentence, b.Tag, b.Reference);
}

internal sealed record BornReadingReply(DateOnly Earliest, DateOnly Latest, string? Convention, bool Expiry)
{
    public static BornReadingReply From(EvidenceReading r) => new(r.Days.First, r.Days.Last, r.Convention, r.IsExpiry);
}
