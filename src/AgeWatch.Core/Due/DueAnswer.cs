using AgeWatch.Core.Marks;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>Where a component or service task stands, with everything it rests on.</summary>
public sealed record DueAnswer
{
    public required DateOnly AsOf { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>Mandatory when any limit behind the state is, not only the governing one; null: no limit stands behind
    /// it.</summary>
    public Force? Force { get; init; }

    public required HazardClass Hazard { get; init; }

    /// <summary>When the part was made, as far as can be told; for a service task, when the work was last
    /// done.</summary>
    public required Birth Born { get; init; }

    /// <summary>Due days of the governing limit; null: no day can be told. Those of other limits stand with
    /// them.</summary>
    public DateSpan? Due { get; init; }

    /// <summary>The limit behind the state; null when nothing limits the part.</summary>
    public AssessedLimit? Governing { get; init; }

    /// <summary>Every limit looked at, the beaten ones too.</summary>
    public required IReadOnlyList<AssessedLimit> Limits { get; init; }

    /// <summary>
    /// The first later day on which state, certainty, force, governing limit or deferral change with no new fact; null:
    /// never.
    /// </summary>
    public DateOnly? NextChangeOn { get; init; }

    public DeferralStanding DeferralStanding { get; init; }

    /// <summary>The last day a running deferral holds, by its day or its distance, whichever ends first.</summary>
    public DateOnly? DeferredUntil { get; init; }

    /// <summary>What was noticed on the way, as data.</summary>
    public IReadOnlyList<DueNote> Notes { get; init; } = [];

    /// <summary>The questions of which some answer changes state, certainty or governing limit, the most telling first,
    /// each with what its answers lead to. Worked out when first read: each answer is supposed and assessed.</summary>
    public IReadOnlyList<DueAsk> Asks => field ??= DecidingAsks.Of(this);

    /// <summary>All that is open, whether it decides anything or not.</summary>
    internal IReadOnlyList<DueAsk> Open { get; init; } = [];

    /// <summary>The usage behind the distance limits; null when no limit needed it.</summary>
    public UsageModel? Usage { get; init; }

    internal DueQuestion Question { get; init; } = null!;

    /// <summary>Place of <see cref="Governing"/> among <see cref="Limits"/>; −1: there is none.</summary>
    internal int GoverningIndex { get; init; }

    /// <summary>What the age, or of a task the last time it was done, rests on.</summary>
    public DueBasis Basis => field ??= new(Born, Question.Subject is ServiceTaskFacts, Question.Kind.Shelf);

    /// <summary>The answer in sentences that can be checked by hand.</summary>
    public IReadOnlyList<string> Reasons => field ??= DueSentences.Reasons(this);

    /// <summary><see cref="Asks"/> in sentences.</summary>
    public IReadOnlyList<string> Questions => field ??= DueSentences.Questions(this);
}

/// <summary>How a limit stands beside the others.</summary>
public enum LimitStanding
{
    /// <summary>It counts.</summary>
    Counts,

    /// <summary>Another number of the same level and clock takes precedence. It is shown and has no effect.</summary>
    Beaten,

    /// <summary>An inspection has answered it; the inspection interval runs instead.</summary>
    Met,

    /// <summary>It counts, and the facts do not tell when it is reached.</summary>
    NoBasis,

    /// <summary>At the present rate it is never reached.</summary>
    Never,
}

/// <summary>One number of one limit, with the days on which it is reached.</summary>
public sealed record AssessedLimit
{
    public required Limit Limit { get; init; }

    public required LimitMeasure Measure { get; init; }

    /// <summary>What it was in fact counted from.</summary>
    public required AgeAnchor Anchor { get; init; }

    /// <summary>The days it counts from; null when they cannot be told or do not matter.</summary>
    public DateSpan? From { get; init; }

    /// <summary>
    /// Earliest and latest day on which it is reached. A latest of 9999-12-31 means that no latest day can be told.
    /// Null: no basis, or never.
    /// </summary>
    public DateSpan? Due { get; init; }

    public LimitStanding Standing { get; init; }

    /// <summary>The limit that takes precedence; null unless <see cref="LimitStanding.Beaten"/>.</summary>
    public Limit? BeatenBy { get; init; }

    /// <summary>The likely day between the two, for distance and hours.</summary>
    public DateOnly? Likely { get; init; }

    /// <summary>Total distance at which it is reached, counted like the odometer readings; for hours in
    /// hours.</summary>
    public decimal? ReachedAt { get; init; }

    /// <summary>Kilometres or hours that were left at the last reading; null for other limits and without a
    /// reading.</summary>
    public MovingAmount? Left { get; init; }

    /// <summary>The inspection or finding it rests on; null otherwise.</summary>
    public Finding? Finding { get; init; }

    /// <summary>The crash or fire that ended its life; null otherwise.</summary>
    public Happening? Happening { get; init; }

    /// <summary>The unit in which the vehicle's odometer counts, and in which sentences speak.</summary>
    internal DistanceUnit UnitOfCar { get; init; }

    /// <summary>The limit in one sentence, as it stands among <see cref="DueAnswer.Reasons"/>.</summary>
    public string Sentence => DueSentences.Sentence(this);

    public LimitLevel Level => Limit.Level;

    public Tag Tag => Limit.Tag;

    public Force Force => Forces.Of(Limit, Finding, Measure);

    public string? Reference => Limit.Reference;

    /// <summary>The number as given, in <see cref="Unit"/>; null for a printed day or a finding.</summary>
    public decimal? Number => Measure switch
    {
        LimitMeasure.Age => Limit.Months,
        LimitMeasure.Distance => Limit.Distance?.In(Limit.DistanceUnit),
        LimitMeasure.Hours => Limit.Hours,
        LimitMeasure.PrintedDay or LimitMeasure.Condition => null,
    };

    /// <summary>months, km, mi, hours, day or finding.</summary>
    public string Unit => Measure switch
    {
        LimitMeasure.Age => "months",
        LimitMeasure.Distance => Limit.DistanceUnit == DistanceUnit.Mile ? "mi" : "km",
        LimitMeasure.Hours => "hours",
        LimitMeasure.PrintedDay => "day",
        LimitMeasure.Condition => "finding",
    };
}

/// <summary>Something noticed on the way to an answer.</summary>
public enum DueNoteCode
{
    /// <summary>Readings of a mark are impossible and were dropped whole.</summary>
    ReadingDropped,

    /// <summary>No reading of a mark is possible.</summary>
    MarkImpossible,

    /// <summary>Readings of a mark are possible, hard to believe, and do not govern while a nearer one
    /// stands.</summary>
    ReadingRemote,

    /// <summary>By its mark it is more than ten years older than its vehicle.</summary>
    OlderThanVehicle,

    /// <summary>A mark could not be read at all.</summary>
    MarkUnread,

    /// <summary>Evidence disagrees; the earliest governs.</summary>
    EvidenceDisagrees,

    /// <summary>A fact is dated after the day on which the facts are stated.</summary>
    FactSetAside,

    /// <summary>It lay on the shelf longer than its kind may.</summary>
    StoredTooLong,

    /// <summary>A measured value breaks a threshold.</summary>
    ThresholdBroken,

    /// <summary>A measured value breaks only some of the thresholds that may hold, or reads low on a scale.</summary>
    ThresholdNear,

    /// <summary>A measured value could not be compared.</summary>
    NotCompared,

    /// <summary>A finding no longer counts: the work was done after it.</summary>
    FindingAnswered,

    /// <summary>On the day asked about it had not been made.</summary>
    NotYetMade,

    /// <summary>A finding no longer counts: a later look passed it.</summary>
    FindingPassedLater,

    /// <summary>The last interval was overrun, and the overrun is taken off the next.</summary>
    OverrunDeducted,

    /// <summary>A shorter number of lower precedence stands beside the one that counts.</summary>
    ShorterNumberBeaten,

    /// <summary>A temperature history shortens the life.</summary>
    Exposed,

    /// <summary>A temperature history ages it too fast for a computed day to be trusted.</summary>
    ExposedTooHot,

    /// <summary>How the vehicle is kept halves the inspection interval.</summary>
    HarshStorage,

    /// <summary>A happening no longer counts: the part was tested after it.</summary>
    HappeningAnswered,

    /// <summary>The vehicle's registration cannot be the part's own legal day, and no other is on record.</summary>
    LegalDayNotKnown,
}

/// <param name="Evidence">The evidence meant; null when it is something else.</param>
/// <param name="Days">Days it speaks of.</param>
/// <param name="Detail">A value, a name or a reading as text.</param>
public sealed record DueNote(
    DueNoteCode Code, Evidence? Evidence = null, DateSpan? Days = null, string? Detail = null, Finding? Finding = null,
    Limit? Limit = null)
{
    /// <summary>The bound below which readings lie; null when it is something else.</summary>
    public AgeBound? Bound { get; init; }
}
