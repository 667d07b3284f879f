using AgeWatch.Core;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Answers;

namespace AgeWatch.Server.Resources.Calculations;

internal sealed record MarkBatchReply(IReadOnlyList<MarkReply> Items);

internal sealed record MarkReply
{
    public required MarkOutcome Outcome { get; init; }

    public required string Reason { get; init; }

    /// <summary>A date was read and cannot be; false where no date was found.</summary>
    public required bool Impossible { get; init; }

    public required IReadOnlyList<MarkReadingReply> Readings { get; init; }

    /// <summary>Readings that nobody would believe beside the others, each with the rule that sets it aside;
    /// they do not govern. Naming the convention, or notBefore, lifts the rule.</summary>
    public required IReadOnlyList<RemoteMarkReply> Remote { get; init; }

    public required IReadOnlyList<DroppedReply> Dropped { get; init; }

    /// <summary>The earliest reading; null: none.</summary>
    public required MarkReadingReply? Governing { get; init; }

    /// <summary>What would settle it, the most telling first.</summary>
    public required IReadOnlyList<string> Questions { get; init; }

    /// <summary>The members of the request that take the answers to questions, in their order.</summary>
    public required IReadOnlyList<string> SettledBy { get; init; }

    /// <summary>Where the governing reading's convention comes from.</summary>
    public required Tag? Tag { get; init; }

    public required string? Source { get; init; }

    public static MarkReply From(MarkAnswer a) => new()
    {
        Outcome = a.Outcome,
        Reason = a.Reason,
        Impossible = a.IsImpossible,
        Readings = [.. a.Readings.Select(MarkReadingReply.From)],
        Remote = [
            .. a.Remote.Select(r => new RemoteMarkReply(MarkReadingReply.From(r.Reading), BoundReply.From(r.Bound))),
        ],
        Dropped = [
            .. a.Dropped.Select(d => new DroppedReply(d.Convention, d.Span?.First, d.Span?.Last, d.Code, d.Reason)),
        ],
        Governing = a.Governing is { } governing ? MarkReadingReply.From(governing) : null,
        Questions = [.. a.Questions.Select(q => q.Sentence())],
        SettledBy = [.. a.Questions.Select(q => q.Member())],
        Tag = a.Tag,
        Source = a.Source,
    };
}

/// <param name="Convention">The most likely convention that reads it so; conventions has all.</param>
/// <param name="Kind">manufacture, or expiry: good through latest.</param>
internal sealed record MarkReadingReply(
    string Convention,
    IReadOnlyList<string> Conventions,
    MarkKind Kind,
    DateOnly Earliest,
    DateOnly Latest,
    string Canonical,
    DateOnly? LastPermittedDay,
    IReadOnlyList<string> Assumptions)
{
    public static MarkReadingReply From(MarkReading r) => new(
        r.Conventions[0].Key,
        [.. r.Conventions.Select(c => c.Key)],
        r.Kind,
        r.Span.First,
        r.Span.Last,
        r.Canonical,
        r.Kind == MarkKind.Expiry ? r.Span.Last : null,
        r.Assumptions);
}

internal sealed record RemoteMarkReply(MarkReadingReply Reading, BoundReply Bound);

internal sealed record DroppedReply(
    string? Convention, DateOnly? Earliest, DateOnly? Latest, DropCode Code, string Reason);
