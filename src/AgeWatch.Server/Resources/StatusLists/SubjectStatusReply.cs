using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Server.Answers;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.StatusLists;

/// <summary>One part or task.</summary>
internal sealed record SubjectStatusReply
{
    public required Guid Id { get; init; }

    public required SubjectKind Kind { get; init; }

    public required string PartKind { get; init; }

    public required string PartKindName { get; init; }

    public required string? Position { get; init; }

    public required string? Maker { get; init; }

    public required string? PartNumber { get; init; }

    public required string? Lot { get; init; }

    public required string? Reference { get; init; }

    public required HazardClass Hazard { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>What stands behind the state; null: no limit does.</summary>
    public required Force? Force { get; init; }

    public required BornReply Born { get; init; }

    /// <summary>Whole months since it was made; of a task since it was last done.</summary>
    public required AgeReply? AgeMonths { get; init; }

    /// <summary>Run since fitting, on earlier vehicles too; of a task since it was last done.</summary>
    public required AmountReply? Distance { get; init; }

    /// <summary>The present fitting.</summary>
    public required DateOnly? FittedOn { get; init; }

    public required LastDoneReply? LastDone { get; init; }

    public required LastInspectedReply? LastInspected { get; init; }

    /// <summary>Of the limit that governs; the earliest day counts. Null: no day can be told, which is never
    /// good.</summary>
    public required DueDaysReply? NextDue { get; init; }

    /// <summary>Every limit, the beaten ones too.</summary>
    public required IReadOnlyList<StatusLimitReply> Limits { get; init; }

    public required DeferralStanding Deferral { get; init; }

    public required DateOnly? DeferredUntil { get; init; }

    public required IReadOnlyList<string> Questions { get; init; }

    public required IReadOnlyList<string> Cautions { get; init; }

    public static SubjectStatusReply Of(SubjectQuestion asked, DueAnswer answer, StoredVehicle stored)
    {
        var unit = stored.Vehicle!.DistanceUnit;
        var kind = PartCatalogue.BuiltIn.Find(asked.PartKind);
        var part = stored.Components.FirstOrDefault(c => c.Row.Id == asked.SubjectId)?.Row;
        var task = stored.Tasks.FirstOrDefault(t => t.Row.Id == asked.SubjectId)?.Row;
        var status = LifeStatus.Of(answer);
        return new()
        {
            Id = asked.SubjectId,
            Kind = asked.SubjectKind,
            PartKind = asked.PartKind,
            PartKindName = kind?.Name ?? asked.PartKind,
            Position = asked.Position,
            Maker = part?.Maker,
            PartNumber = part?.PartNumber,
            Lot = part?.Lot,
            Reference = part?.Reference ?? task?.Reference,
            Hazard = answer.Hazard,
            State = answer.State,
            Certainty = answer.Certainty,
            Force = answer.Force,
            Born = BornReply.From(answer.Born),
            AgeMonths = status.Age is { } age ? new(age.Least, age.Most) : null,
            Distance = status.Covered is { } covered ? AmountReply.Run(covered, unit) : null,
            FittedOn = status.FittedOn,
            LastDone = status.LastDone is { } done
                ? new(done.Kind, done.On, done.Odometer is { } shown ? new(shown.Value, shown.Unit) : null, done.By)
                : null,
            LastInspected = status.LastInspected is { } seen ? new(seen.On, seen.Grade, seen.Sign, seen.FoundBy) : null,
            NextDue = DueDaysReply.From(answer.Due),
            Limits = [.. answer.Limits.Select(limit => StatusLimitReply.Of(answer, limit))],
            Deferral = answer.DeferralStanding,
            DeferredUntil = answer.DeferredUntil,
            Questions = answer.Questions,
            Cautions = kind?.Cautions ?? [],
        };
    }
}
