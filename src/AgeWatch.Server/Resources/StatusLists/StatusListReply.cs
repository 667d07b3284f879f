using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Due;
using AgeWatch.Server.Resources.WalkRounds;

namespace AgeWatch.Server.Resources.StatusLists;

/// <summary>The present status of every limited part and task of a vehicle.</summary>
internal sealed record StatusListReply
{
    public required Guid VehicleId { get; init; }

    public required string Vehicle { get; init; }

    public required string? Reference { get; init; }

    public required string? Registration { get; init; }

    public required string? Chassis { get; init; }

    public required DateSpan? Built { get; init; }

    public required DateOnly AsOf { get; init; }

    /// <summary>The latest reading; null: none.</summary>
    public required OdometerShownReply? Odometer { get; init; }

    /// <summary>Worst hazard first, then worst state.</summary>
    public required IReadOnlyList<SubjectStatusReply> Items { get; init; }

    /// <summary>Usual kinds whose failure can kill and of which nothing is recorded: if the vehicle has
    /// them, their age is unknown, not good.</summary>
    public required IReadOnlyList<NotRecordedReply> NotRecorded { get; init; }

    /// <summary>Looked for and not on the vehicle.</summary>
    public required IReadOnlyList<WalkNoteReply> Absent { get; init; }

    public required string Caution { get; init; }

    public required string RuleVersion { get; init; }

    private const string Words =
        "The vehicle maker's figures, local law and a licensed person's inspection come before this list. It counts "
            + "days and distance; it does not see the part.";

    public static StatusListReply Of(VehicleFile file, DateOnly asOf, int warningDays)
    {
        var (stored, notes) = (file.Stored, file.Notes);
        var v = stored.Vehicle!;
        var items = file.QuestionsOn(asOf, warningDays)
            .Select(asked => (Asked: asked, Answer: DueAssessment.Assess(asked.Question)))
            .OrderBy(item => WorstKey.Of(item.Answer, item.Asked.SubjectId), WorstFirst.Order)
            .Select(item => SubjectStatusReply.Of(item.Asked, item.Answer, stored))
            .ToList();
        var units = stored.Instruments.ToDictionary(i => i.Id, i => i.Unit);
        return new()
        {
            VehicleId = v.Id,
            Vehicle = v.Name,
            Reference = v.Reference,
            Registration = v.Registration,
            Chassis = v.Chassis,
            Built = v.Built,
            AsOf = asOf,
            Odometer = stored.Readings is [.., var last]
                ? new(last.ReadOn, last.Thousandths / 1000m, units[last.InstrumentId])
                : null,
            Items = items,
            NotRecorded = NotRecordedReply.BesidesThe(items.Select(item => item.PartKind).Concat(notes.Absent)),
            Absent = [.. notes.AbsentNotes.Select(WalkNoteReply.Of)],
            Caution = Words,
            RuleVersion = PartCatalogue.BuiltIn.Version,
        };
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
