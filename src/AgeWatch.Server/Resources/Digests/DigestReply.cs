using AgeWatch.Core.Due;
using AgeWatch.Storage.Digests;

namespace AgeWatch.Server.Resources.Digests;

internal sealed record DigestReply
{
    public required Guid Id { get; init; }

    public required Guid MemberId { get; init; }

    public required DigestKind Kind { get; init; }

    public required DateOnly LocalDate { get; init; }

    public required int Revision { get; init; }

    public required string Subject { get; init; }

    public required string RuleVersion { get; init; }

    public required int Lines { get; init; }

    /// <summary>Lines left out to keep it short.</summary>
    public required int HeldBack { get; init; }

    public required SendState State { get; init; }

    public required int Attempts { get; init; }

    public required DateTime CreatedAt { get; init; }

    public required DateTime? AcceptedAt { get; init; }

    /// <summary>The mail server's own words at the last try.</summary>
    public required string? LastReply { get; init; }

    public static DigestReply From(Digest d) => new()
    {
        Id = d.Id,
        MemberId = d.MemberId,
        Kind = d.Kind,
        LocalDate = d.LocalDate,
        Revision = d.Revision,
        Subject = d.Subject,
        RuleVersion = d.RuleVersion,
        Lines = d.Lines,
        HeldBack = d.HeldBack,
        State = d.State,
        Attempts = d.Attempts,
        CreatedAt = d.CreatedAt,
        AcceptedAt = d.AcceptedAt,
        LastReply = d.LastReply,
    };
}

/// <param name="Times">How many digests in a row have told of this state.</param>
/// <param name="Force">Null: no limit stood behind the state, or it was told before force was kept.</param>
internal sealed record NoticeReply(
    Guid SubjectId, DueState State, Certainty Certainty, Force? Force, int Times, string Text);

internal sealed record DigestWithLines(DigestReply Digest, IReadOnlyList<NoticeReply> Lines);
