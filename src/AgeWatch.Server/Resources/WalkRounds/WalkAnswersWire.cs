using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <summary>The answers of one walk-round; all are taken or none.</summary>
/// <param name="SeenOn">The day of the walk.</param>
/// <param name="By">Who looked.</param>
/// <param name="Built">When the vehicle was built, where that was not known, or more narrowly than it was.</param>
/// <param name="Odometer">What the odometer showed on the day of the walk.</param>
internal sealed record WalkAnswersRequest(
    DateOnly SeenOn,
    [MaxLength(200)] IReadOnlyList<WalkAnswer> Answers,
    [StringLength(200), OneLine] string? By = null,
    DateSpan? Built = null,
    WalkReading? Odometer = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (Answers is [] && Built is null && Odometer is null)
        {
            faults.Add(nameof(Answers), "says-nothing", "Answer at least one question, or give built or odometer.");
        }

        // It was there on the day of the walk, so it was built before.
        faults.Add(VehicleRecord.Check(new() { Built = Built, RegisteredOn = null, DeclaredPerYear = null }, SeenOn));
    }
}

/// <summary>What the odometer showed, as the drums show it.</summary>
/// <param name="Instrument">The instrument's label; may be absent when only one is on the vehicle.</param>
internal sealed record WalkReading(
    [Range(0, WireDistance.Greatest)] decimal Value, DistanceUnit Unit,
    [StringLength(64, MinimumLength = 1), OneLine] string? Instrument = null);

/// <summary>What became of the answers, in their order.</summary>
/// <param name="Built">When the vehicle was built, as it is known now.</param>
/// <param name="OdometerReadingId">The reading that was made; null: none.</param>
internal sealed record WalkAnswersReply(
    Guid VehicleId, DateOnly SeenOn, IReadOnlyList<WalkAnsweredReply> Answers, DateSpan? Built,
    Guid? OdometerReadingId);

/// <param name="SubjectId">The part or task that was made or added to; null: only noted.</param>
/// <param name="State">Where it stands now; null: only noted.</param>
/// <param name="Force">What stands behind the state; null: no limit does.</param>
/// <param name="Questions">What would still sharpen the answer.</param>
internal sealed record WalkAnsweredReply(
    string PartKind, Guid? SubjectId, bool Created, WalkOutcome Outcome, DueState? State, Certainty? Certainty,
    Force? Force, IReadOnlyList<string> Questions);
