using System.ComponentModel;
using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <summary>The answer to one question.</summary>
[OptionalMembers]
internal sealed record WalkAnswer : IChecked
{
    private const int LongestReason = 1000;
    private const int LongestNotes = 4000;

    /// <summary>The recorded part or task.</summary>
    public required Guid? SubjectId { get; init; }

    /// <summary>Of a kind of which this part or task is not recorded yet.</summary>
    [StringLength(64, MinimumLength = 1), OneLine]
    public required string? PartKind { get; init; }

    [DefaultValue(WalkOutcome.Seen)]
    public required WalkOutcome Outcome { get; init; } = WalkOutcome.Seen;

    [StringLength(100, MinimumLength = 1), OneLine]
    public required string? Position { get; init; }

    [DefaultValue(false)]
    public required bool Original { get; init; }

    [StringLength(100, MinimumLength = 1), OneLine]
    public required string? Maker { get; init; }

    [StringLength(100, MinimumLength = 1), OneLine]
    public required string? PartNumber { get; init; }

    [StringLength(100, MinimumLength = 1), OneLine]
    public required string? Lot { get; init; }

    /// <summary>The date mark exactly as read, question marks for what cannot be read.</summary>
    [StringLength(MarkQuestion.MaxTextLength, MinimumLength = 1)]
    public required string? Mark { get; init; }

    [StringLength(64, MinimumLength = 1), OneLine]
    public required string? Convention { get; init; }

    public required bool? Triangle { get; init; }

    /// <summary>When a part was fitted, by papers or stickers.</summary>
    public required DateOnly? FittedOn { get; init; }

    /// <summary>When a task was last done.</summary>
    public required DateOnly? LastDoneOn { get; init; }

    /// <summary>What the odometer showed when it was fitted or last done.</summary>
    public required WireDistance? Odometer { get; init; }

    /// <summary>What was seen of its condition.</summary>
    public required WalkFinding? Finding { get; init; }

    /// <summary>Why it could not be seen, or how it is known to be absent: one line. Of what is new, its
    /// notes.</summary>
    [StringLength(LongestNotes)]
    public required string? Note { get; init; }

    /// <summary>What the hours meter showed when it was fitted or last done.</summary>
    [Range(0, Shown.MostHours)]
    public required decimal? Hours { get; init; }

    public bool SaysNothing => Mark is null && FittedOn is null && LastDoneOn is null && Finding is null;

    public void Check(FieldFaults faults)
    {
        if ((SubjectId is null) == (PartKind is null))
        {
            faults.Add(
                nameof(SubjectId), "one-of",
                "Give either subjectId, of what is recorded, or partKind, of what is not.");
        }

        if (SubjectId is not null && (Original || (Position, Maker, PartNumber, Lot) is not (null, null, null, null)))
        {
            faults.Add(
                nameof(SubjectId), "not-together", "Of a recorded part these are changed at the part itself.");
        }

        if (Outcome != WalkOutcome.Seen)
        {
            CheckUnseen(faults);
        }

        if (Outcome == WalkOutcome.Absent && SubjectId is not null)
        {
            faults.Add(
                nameof(Outcome), "recorded",
                "A recorded part is taken off at /v1/components/{id}/take-off, so that its record stays.");
        }

        if (Outcome == WalkOutcome.NoOthers && SubjectId is not null)
        {
            faults.Add(
                nameof(Outcome), "not-together", "That there are no others is said of a partKind, not of one part.");
        }

        if (Outcome == WalkOutcome.Seen && SubjectId is not null && SaysNothing)
        {
            faults.Add(nameof(Outcome), "says-nothing", "Say what was read or seen, or could-not-see.");
        }

        if (Outcome == WalkOutcome.Seen && SubjectId is not null && Note is not null)
        {
            faults.Add(
                nameof(Note), "not-together", "Of what is recorded already, say it in the note of the finding.");
        }
    }

    private void CheckUnseen(FieldFaults faults)
    {
        if (!SaysNothing || (Convention, Triangle, Odometer, Hours) is not (null, null, null, null))
        {
            faults.Add(
                nameof(Outcome), "not-together", "What was not seen has no mark, no day, no odometer and no finding.");
        }

        if (Note is { Length: > LongestReason and <= LongestNotes })
        {
            faults.Add(nameof(Note), "wrong-length", $"Must have {LongestReason} characters at most.");
        }

        if (Note is not null && !OneLineText.Accepts(Note))
        {
            faults.Add(nameof(Note), OneLineText.Code, "Must be one line of text, not blank.");
        }
    }
}
