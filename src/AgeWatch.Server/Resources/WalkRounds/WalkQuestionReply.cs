using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.WalkRounds;
using AgeWatch.Server.Answers;
using AgeWatch.Storage.WalkRounds;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <summary>One question.</summary>
internal sealed record WalkQuestionReply
{
    public required string Area { get; init; }

    public required string AreaName { get; init; }

    public required string PartKind { get; init; }

    public required string PartKindName { get; init; }

    /// <summary>The recorded part or task to answer for; null: answer with partKind.</summary>
    public required Guid? SubjectId { get; init; }

    public required string? Position { get; init; }

    public required WalkPurpose Purpose { get; init; }

    public required PartForm Form { get; init; }

    /// <summary>What to do at the car.</summary>
    public required string Ask { get; init; }

    public required HazardClass Hazard { get; init; }

    /// <summary>How it harms when it fails.</summary>
    public required string Why { get; init; }

    /// <summary>What the answer decides.</summary>
    public required string Decides { get; init; }

    /// <summary>Where its date mark is.</summary>
    public required string Where { get; init; }

    public required string MarkNote { get; init; }

    /// <summary>The signs that an inspection looks for.</summary>
    public required IReadOnlyList<string> LookFor { get; init; }

    /// <summary>Where it stands as long as nobody answers.</summary>
    public required DueState State { get; init; }

    public required DueDaysReply? Due { get; init; }

    /// <summary>The last time that it could not be seen.</summary>
    public required WalkNoteReply? CouldNotSee { get; init; }

    /// <summary>Keys; the texts stand below the questions.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    public static WalkQuestionReply Of(WalkQuestion q, WalkNotes notes) => new()
    {
        Area = q.Area,
        AreaName = WalkAreas.NameOf(q.Area),
        PartKind = q.Kind.Key,
        PartKindName = q.Kind.Name,
        SubjectId = q.Subject?.Id,
        Position = q.Subject?.Position,
        Purpose = q.Purpose,
        Form = q.Kind.Form,
        Ask = q.Ask,
        Hazard = q.Kind.Hazard.Class,
        Why = q.Kind.Hazard.Why,
        Decides = q.Decides,
        Where = q.Kind.Mark.Where,
        MarkNote = q.Kind.Mark.Note,
        LookFor = q.Kind.Signs,
        State = q.Unanswered.State,
        Due = DueDaysReply.From(q.Unanswered.Due),
        CouldNotSee = notes.NotSeen(q.Kind.Key, q.Subject?.Id) is { } note ? WalkNoteReply.Of(note) : null,
        Cautions = q.Kind.Cautions,
    };
}

internal sealed record WalkNoteReply(string PartKind, DateOnly On, string? By, string? Note)
{
    public static WalkNoteReply Of(WalkNote n) => new(n.PartKind, n.SeenOn, n.NotedBy, n.Note);
}
