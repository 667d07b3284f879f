using AgeWatch.Storage.WalkRounds;

namespace AgeWatch.Server.Answers;

/// <summary>What walk-rounds of a vehicle brought beside evidence and findings.</summary>
internal sealed class WalkNotes
{
    private readonly List<WalkNote> _latest;

    // Of two words in one breath the worse one counts.
    public WalkNotes(IEnumerable<WalkNote> notes) => _latest =
    [
        .. notes.GroupBy(n => n.ComponentId?.ToString() ?? n.ServiceTaskId?.ToString() ?? n.PartKind)
            .Select(same => same.OrderBy(n => n.SeenOn)
                .ThenBy(n => n.RecordedAt)
                .ThenBy(n => n.Kind == WalkNoteKind.CouldNotSee)
                .Last()),
    ];

    /// <summary>Kinds that somebody has looked for and not found, by the latest word on each.</summary>
    public IReadOnlyCollection<string> Absent =>
        [.. _latest.Where(n => n.Kind == WalkNoteKind.Absent).Select(n => n.PartKind)];

    /// <summary>Kinds of which somebody has said that what is recorded is all there is.</summary>
    public IReadOnlyCollection<string> Complete => [.. CompleteNotes.Select(n => n.PartKind)];

    public IEnumerable<WalkNote> CompleteNotes => _latest.Where(n => n.Kind == WalkNoteKind.NoOthers);

    public IEnumerable<WalkNote> AbsentNotes => _latest.Where(n => n.Kind == WalkNoteKind.Absent);

    /// <param name="subjectId">Null: of a kind of which nothing is recorded.</param>
    public WalkNote? NotSeen(string partKind, Guid? subjectId) => _latest.Find(n =>
        n.Kind == WalkNoteKind.CouldNotSee
            && (subjectId is { } id
                ? n.ComponentId == id || n.ServiceTaskId == id
                : n is { ComponentId: null, ServiceTaskId: null } && n.PartKind == partKind));
}
