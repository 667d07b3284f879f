using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Due;
using AgeWatch.Server.Resources.WalkRounds;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.StatusLists;

/// <summary>The present status of every limited part and task of a vehicle.</summary>
/// <param name="Odometer">The latest reading; null: none.</param>
/// <param name="Items">Worst hazard first, then worst state.</param>
/// <param name="NotRecorded">Usual kinds whose failure can kill and of which nothing is recorded: if the vehicle has
/// them, their age is unknown, not good.</param>
/// <param name="Absent">Looked for and not on the vehicle.</param>
internal sealed record StatusListReply(
    Guid VehicleId,
    string Vehicle,
    string? Reference,
    string? Registration,
    string? Chassis,
    DateSpan? Built,
    DateOnly AsOf,
    OdometerShownReply? Odometer,
    IReadOnlyList<SubjectStatusReply> Items,
    IReadOnlyList<NotRecordedReply> NotRecorded,
    IReadOnlyList<WalkNoteReply> Absent,
    string Caution,
    string RuleVersion)
{
    private const string Words =
        "The vehicle maker's figures, local law and a licensed person's inspection come before this list. It counts "
            + "days and distance; it does not see the part.";

    public static StatusListReply Of(VehicleFile file, DateOnly asOf, int warningDays)
    {
        var (garage, notes) = (file.Garage, file.Notes);
        var v = garage.Vehicle!;
        var items = file.Ask(asOf, warningDays)
            .Select(asked => (Asked: asked, Answer: DueAssessment.Assess(asked.Question)))
            .OrderBy(item => WorstKey.Of(item.Answer, item.Asked.SubjectId), WorstFirst.Order)
            .Select(item => SubjectStatusReply.Of(item.Asked, item.Answer, garage))
            .ToList();
        var units = garage.Instruments.ToDictionary(i => i.Id, i => i.Unit);
        return new(
            v.Id, v.Name, v.Reference, v.Registration, v.Chassis, v.Built, asOf,
            garage.Readings is [.., var last]
                ? new(last.ReadOn, last.Thousandths / 1000m, units[last.InstrumentId])
                : null,
            items, NotRecordedReply.BesidesThe(items.Select(item => item.PartKind).Concat(notes.Absent)),
            [.. notes.AbsentNotes.Select(WalkNoteReply.Of)], Words, PartCatalogue.BuiltIn.Version);
    }

    /// <summary>For an address that opens without a key: nothing that leads to a person or names the very
    /// car.</summary>
    /// <param name="within">The parts and tasks that the reader may be told of.</param>
    public StatusListReply WithoutPersons(IReadOnlySet<Guid> within) => this with
    {
        Reference = null,
        Registration = null,
        Chassis = null,
        Items = [.. Items.Where(item => within.Contains(item.Id)).Select(item => item with
        {
            Reference = null,
            LastDone = item.LastDone is { } done ? done with { By = null } : null,
            LastInspected = item.LastInspected is { } seen ? seen with { By = null } : null,
        })],
        Absent = [.. Absent.Select(absent => absent with { By = null })],
    };
}

internal sealed record OdometerShownReply(DateOnly On, decimal Value, DistanceUnit Unit);

/// <summary>One part or task.</summary>
/// <param name="AgeMonths">Whole months since it was made; of a task since it was last done.</param>
/// <param name="Distance">Run since fitting, on earlier vehicles too; of a task since it was last done.</param>
/// <param name="FittedOn">The present fitting.</param>
/// <param name="NextDue">Of the limit that governs; the earliest day counts. Null: no day can be told, which is never
/// good.</param>
/// <param name="Limits">Every limit, the beaten ones too.</param>
internal sealed record SubjectStatusReply(
    Guid Id,
    SubjectKind Kind,
    string PartKind,
    string PartKindName,
    string? Position,
    string? Maker,
    string? PartNumber,
    string? Lot,
    string? Reference,
    HazardClass Hazard,
    DueState State,
    Certainty Certainty,
    BornReply Born,
    AgeReply? AgeMonths,
    AmountReply? Distance,
    DateOnly? FittedOn,
    LastDoneReply? LastDone,
    LastInspectedReply? LastInspected,
    DueDaysReply? NextDue,
    IReadOnlyList<StatusLimitReply> Limits,
    DeferralStanding Deferral,
    DateOnly? DeferredUntil,
    IReadOnlyList<string> Questions,
    IReadOnlyList<string> Cautions)
{
    public static SubjectStatusReply Of(Asked asked, DueAnswer answer, Garage garage)
    {
        var unit = garage.Vehicle!.DistanceUnit;
        var kind = PartCatalogue.BuiltIn.Find(asked.PartKind);
        var part = garage.Components.FirstOrDefault(c => c.Row.Id == asked.SubjectId)?.Row;
        var task = garage.Tasks.FirstOrDefault(t => t.Row.Id == asked.SubjectId)?.Row;
        var status = LifeStatus.Of(answer);
        return new(
            asked.SubjectId, asked.SubjectKind, asked.PartKind, kind?.Name ?? asked.PartKind, asked.Position,
            part?.Maker, part?.PartNumber, part?.Lot, part?.Reference ?? task?.Reference,
            answer.Hazard, answer.State, answer.Certainty, BornReply.From(answer.Born),
            status.Age is { } age ? new(age.Least, age.Most) : null,
            status.Covered is { } covered ? AmountReply.Run(covered, unit) : null,
            status.FittedOn,
            status.LastDone is { } done
                ? new(done.Kind, done.On, done.Odometer is { } shown ? new(shown.Value, shown.Unit) : null, done.By)
                : null,
            status.LastInspected is { } seen ? new(seen.On, seen.Grade, seen.Sign, seen.FoundBy) : null,
            DueDaysReply.From(answer.Due),
            [.. answer.Limits.Select(limit => StatusLimitReply.Of(answer, limit))],
            answer.DeferralStanding, answer.DeferredUntil, answer.Questions, kind?.Cautions ?? []);
    }
}

/// <summary>Whole months at both ends of the doubt.</summary>
internal sealed record AgeReply(int Least, int Most);

/// <summary>An amount at both ends of the doubt; below zero where a limit is passed by so much.</summary>
/// <param name="Unit">km, mi or hours.</param>
/// <param name="CountedOn">The reading it rests on: what was driven later is not in it.</param>
internal sealed record AmountReply(decimal Least, decimal Most, string Unit, DateOnly CountedOn)
{
    // Rounding goes to the worse side: what was run up, what is left down.
    public static AmountReply Run(MovingAmount amount, DistanceUnit unit) => Of(amount, unit, decimal.Ceiling);

    public static AmountReply Left(MovingAmount amount, DistanceUnit unit) => Of(amount, unit, decimal.Floor);

    public static AmountReply HoursLeft(MovingAmount amount) =>
        new(amount.Least, amount.Most, "hours", amount.CountedOn);

    private static AmountReply Of(MovingAmount amount, DistanceUnit unit, Func<decimal, decimal> whole) => new(
        whole(new Distance(amount.Least).In(unit) * 10) / 10, whole(new Distance(amount.Most).In(unit) * 10) / 10,
        WireNames.Of(unit), amount.CountedOn);
}

/// <param name="Kind">fill, service or regulatory.</param>
internal sealed record LastDoneReply(EvidenceKind Kind, DateOnly On, WireDistance? Odometer, string? By);

internal sealed record LastInspectedReply(DateOnly On, FindingGrade Grade, string? Sign, string? By);

/// <summary>One number of one limit and what is left of it.</summary>
/// <param name="Governs">The limit behind the state.</param>
/// <param name="Words">The limit in a sentence.</param>
/// <param name="DaysLeft">Until it is reached; null: no day can be told.</param>
/// <param name="AmountLeft">In distance or hours at the last reading; null for the other clocks and without a
/// reading.</param>
internal sealed record StatusLimitReply(
    LimitReply Limit, bool Governs, string Words, DaysLeftReply? DaysLeft, AmountReply? AmountLeft)
{
    public static StatusLimitReply Of(DueAnswer answer, AssessedLimit limit) => new(
        LimitReply.From(limit),
        ReferenceEquals(limit, answer.Governing),
        limit.Sentence,
        LifeStatus.Left(answer, limit) is { } left ? new(left.Earliest, left.Latest) : null,
        limit.Left is not { } amount ? null
        : limit.Measure == LimitMeasure.Hours ? AmountReply.HoursLeft(amount)
        : AmountReply.Left(amount, limit.Limit.DistanceUnit));
}

/// <param name="Earliest">It governs; below zero: so many days ago.</param>
/// <param name="Latest">Null: no latest day can be told.</param>
internal sealed record DaysLeftReply(int Earliest, int? Latest);
