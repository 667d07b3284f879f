using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>A question whose answer would sharpen the due answer.</summary>
public enum DueAskCode
{
    /// <summary>When was the vehicle built?</summary>
    WhenBuilt,

    /// <summary>What does the mark on the part say?</summary>
    ReadMark,

    /// <summary>Which of several readings is right?</summary>
    WhichReading,

    /// <summary>Does a mark say when it was made, or until when it is good?</summary>
    MadeOrExpires,

    /// <summary>When was it fitted, filled or last done?</summary>
    WhenStarted,

    /// <summary>What does the odometer show?</summary>
    ReadOdometer,

    /// <summary>What did the odometer show when the clock started?</summary>
    OdometerAtStart,

    /// <summary>How often did the odometer pass its end, or how far was driven between two odometers?</summary>
    OpenGap,

    /// <summary>How far did it run on other vehicles?</summary>
    EarlierDistance,

    /// <summary>What does the hours meter show?</summary>
    ReadHours,

    /// <summary>What limit does the maker give?</summary>
    WhatLimit,

    /// <summary>Is a refused reading a slip of the pen?</summary>
    CheckReading,

    /// <summary>Of which class or size is what was measured?</summary>
    WhichCase,

    /// <summary>Which quantity was measured?</summary>
    WhichQuantity,

    /// <summary>Is a mark read wrongly, or a dated fact that says that the part is older?</summary>
    MarkOrFact,

    /// <summary>In which document does a number stand, and where in it?</summary>
    WhatReference,
}

/// <summary>A question, and what its answers lead to.</summary>
/// <param name="Days">Days it asks about.</param>
/// <param name="Readings">Readings to choose from.</param>
public sealed record DueAsk(
    DueAskCode Code, string? Detail = null, DateSpan? Days = null, IReadOnlyList<EvidenceReading>? Readings = null)
{
    /// <summary>What the answers lead to, at least one of them to something else than now; of several that lead to the
    /// same the first. What the questions beside it leave open stays open.</summary>
    public IReadOnlyList<DueLead> Leads { get; init; } = [];

    /// <summary>It is about the vehicle, so that one answer serves all its parts and tasks.</summary>
    public bool IsOfVehicle => Code is DueAskCode.WhenBuilt or DueAskCode.ReadOdometer or DueAskCode.OpenGap
        or DueAskCode.CheckReading;

    /// <summary>In a sentence.</summary>
    public string Sentence => DueSentences.Sentence(this);

    /// <summary>What its answer starts; null when it is about something else.</summary>
    internal AgeAnchor? Starts { get; init; }

    /// <summary>The days from which the clock counts that it asks about; null when it asks about none.</summary>
    internal DateSpan? ClockFrom { get; init; }

    /// <summary>The reading it doubts; null when it is about something else.</summary>
    internal ShownDistance? Doubted { get; init; }

    /// <summary>The measured finding it is about; null when it is about something else.</summary>
    internal Finding? Finding { get; init; }
}

/// <summary>Where one answer leads to.</summary>
/// <param name="Answer">In a few words; where any day or amount can be the answer, one for each thing that it can lead
/// to.</param>
/// <param name="Due">Of the governing limit; null: no day can be told.</param>
/// <param name="Governing">Null when nothing limits the part.</param>
public sealed record DueLead(
    string Answer, DueState State, Certainty Certainty, DateSpan? Due, AssessedLimit? Governing);
