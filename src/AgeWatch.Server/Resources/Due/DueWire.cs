using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Server.Answers;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Due;

/// <param name="AsOf">Any day, past or future, from the facts known now; absent: today in the club's zone.</param>
internal sealed record DueQuery(
    DateOnly? AsOf = null, [System.ComponentModel.DataAnnotations.Range(0, 3650)] int WarningDays = 60);

internal sealed record ClubDueQuery(
    IReadOnlyList<DueState>? State = null,
    IReadOnlyList<HazardClass>? Hazard = null,
    Force? Force = null,
    Guid? VehicleId = null,
    Guid? MemberId = null,
    string? PartKind = null);

/// <param name="Asks">What is to be answered about the vehicle itself, once for all items; their own questions stand
/// with them.</param>
/// <param name="NotRecorded">Usual kinds whose failure can kill and of which nothing is recorded: if the vehicle has
/// them, their age is unknown, not good.</param>
internal sealed record VehicleDueReply(
    Guid VehicleId, string Vehicle, DateOnly AsOf, IReadOnlyList<SubjectDueReply> Items,
    IReadOnlyList<VehicleAskReply> Asks, IReadOnlyList<NotRecordedReply> NotRecorded);

internal sealed record NotRecordedReply(string PartKind, string PartKindName, string Question)
{
    /// <summary>A short list must not pass for a sound car: what nobody wrote down or looked for in vain is named
    /// too.</summary>
    public static IReadOnlyList<NotRecordedReply> BesidesThe(IEnumerable<string> recordedKinds)
    {
        var recorded = recordedKinds.ToHashSet();
        return [.. PartCatalogue.BuiltIn.All
            .Where(kind => kind.Core && kind.Hazard.Class == HazardClass.Catastrophic && !recorded.Contains(kind.Key))
            .Select(kind => new NotRecordedReply(
                kind.Key, kind.Name,
                $"Does the vehicle have it? If so, nothing tells its age. Its date: {kind.Mark.Where}."))];
    }
}

internal sealed record SubjectDueReply(Guid Id, SubjectKind Kind, string? Position, DueReply Answer)
{
    public static SubjectDueReply From(SubjectQuestion asked, DueAnswer answer) =>
        new(asked.SubjectId, asked.SubjectKind, asked.Position, DueReply.From(answer, asked.PartKind));

    public static SubjectDueReply BesideOthers(SubjectQuestion asked, DueAnswer answer) =>
        new(asked.SubjectId, asked.SubjectKind, asked.Position, DueReply.BesideOthers(answer, asked.PartKind));
}

internal sealed record DueStateReply
{
    public required Guid SubjectId { get; init; }

    public required SubjectKind Kind { get; init; }

    public required Guid? VehicleId { get; init; }

    public required string? Vehicle { get; init; }

    public required string PartKind { get; init; }

    public required HazardClass Hazard { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>What stands behind the state; null: no limit does.</summary>
    public required Force? Force { get; init; }

    public required DateOnly? DueEarliest { get; init; }

    public required DateOnly? DueLatest { get; init; }

    public required DateOnly Since { get; init; }

    public required DateOnly? NextChangeOn { get; init; }

    public required DateOnly AsOf { get; init; }

    public required string RuleVersion { get; init; }
}
