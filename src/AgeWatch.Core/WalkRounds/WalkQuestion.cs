using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;

namespace AgeWatch.Core.WalkRounds;

/// <summary>What a question of the walk-round is after.</summary>
public enum WalkPurpose
{
    /// <summary>Nothing of this kind is recorded: is it there, and how old is it?</summary>
    Find,

    /// <summary>Some of this kind are recorded, and a vehicle has more as a rule: what of the others?</summary>
    Others,

    /// <summary>The mark of a recorded part has not been read.</summary>
    ReadMark,

    /// <summary>A mark can be read in several ways.</summary>
    ChooseReading,

    /// <summary>The day it was fitted, filled or last done is not known.</summary>
    TellDay,

    /// <summary>An inspection is due, or something else keeps it from being known.</summary>
    Inspect,
}

/// <summary>One question to go and answer at the car.</summary>
public sealed record WalkQuestion
{
    public required PartKind Kind { get; init; }

    /// <summary>The recorded part or task; null: it is about what is not recorded.</summary>
    public WalkSubject? Subject { get; init; }

    /// <summary>What is recorded of the kind, when the question is about the others.</summary>
    public IReadOnlyList<WalkSubject> Beside { get; init; } = [];

    /// <summary>How many a vehicle has at most as a rule, when the question is about the others; null: not
    /// known.</summary>
    public int? Usual { get; init; }

    public required WalkPurpose Purpose { get; init; }

    /// <summary>The area of the car in which it is reached first on the way round; a key of <see
    /// cref="WalkAreas"/>.</summary>
    public required string Area { get; init; }

    /// <summary>Where it stands as long as nobody answers.</summary>
    public required DueAnswer Unanswered { get; init; }

    /// <summary>What to do at the car.</summary>
    public string Ask => WalkSentences.Ask(this);

    /// <summary>What the answer decides.</summary>
    public string Decides => WalkSentences.Decides(this);
}

/// <summary>A recorded part or service task of the vehicle and its due answer.</summary>
/// <param name="Position">Null: not said.</param>
public sealed record WalkSubject(Guid Id, string PartKind, string? Position, DueAnswer Answer);
