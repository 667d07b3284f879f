using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Components;

/// <summary>What an inspection saw.</summary>
/// <param name="Sign">What was seen, best in the words of the part kind's list of signs.</param>
/// <param name="Odometer">What the odometer showed; the next look by distance counts from it.</param>
/// <param name="Hours">What the hours meter showed.</param>
internal sealed record FindingRequest(
    DateOnly On,
    FindingGrade Grade,
    [StringLength(200, MinimumLength = 1), OneLine] string? Sign = null,
    WireMeasurement? Measured = null,
    [StringLength(4000)] string? Note = null,
    [StringLength(200), OneLine] string? FoundBy = null,
    WireDistance? Odometer = null,
    [Range(0, Shown.MostHours)] decimal? Hours = null)
{
    public FindingRecord ToRecord() => new()
    {
        On = On,
        Measured = Measured?.Value,
        Odometer = Odometer?.Value,
        Hours = Hours,
    };

    public Finding ToFinding() => new()
    {
        On = On,
        Grade = Grade,
        Sign = Sign,
        Measured = Measured is { } m ? new Measurement(m.Value, m.Unit, m.Quantity) : null,
        Odometer = Odometer?.ShownOn(On),
        Hours = Hours,
        Note = Note,
        FoundBy = FoundBy,
    };

    public InspectionFinding ToEntity(Guid clubId, Subject subject, TimeProvider clock) => new()
    {
        ClubId = clubId,
        Id = Guid.CreateVersion7(clock.GetUtcNow()),
        ComponentId = subject.ComponentId,
        ServiceTaskId = subject.ServiceTaskId,
        FoundOn = On,
        Grade = Grade,
        Sign = Sign,
        Quantity = Measured?.Quantity,
        MeasuredThousandths = Measured is { } measured ? (long)(measured.Value * 1000m) : null,
        Unit = Measured?.Unit,
        OdometerThousandths = FittingDistances.Thousandths(Odometer),
        OdometerUnit = Odometer?.Unit,
        Hours = FittingDistances.Thousandths(Hours),
        Note = Note,
        FoundBy = FoundBy,
        RecordedAt = clock.GetUtcNow().UtcDateTime,
    };
}

internal sealed record FindingReply
{
    public required Guid Id { get; init; }

    public required DateOnly On { get; init; }

    public required FindingGrade Grade { get; init; }

    public required string? Sign { get; init; }

    public required WireMeasurement? Measured { get; init; }

    public required WireDistance? Odometer { get; init; }

    public required string? Note { get; init; }

    public required string? FoundBy { get; init; }

    public required DateTime RecordedAt { get; init; }

    public required DateTime? WithdrawnAt { get; init; }

    public required string? WithdrawnReason { get; init; }

    public required decimal? Hours { get; init; }

    public static FindingReply From(InspectionFinding f) => new()
    {
        Id = f.Id,
        On = f.FoundOn,
        Grade = f.Grade,
        Sign = f.Sign,
        Measured = f.MeasuredThousandths is { } value
            ? new WireMeasurement(value / 1000m, f.Unit ?? "", f.Quantity)
            : null,
        Odometer = FittingDistances.Shown(f.OdometerThousandths, f.OdometerUnit),
        Note = f.Note,
        FoundBy = f.FoundBy,
        RecordedAt = f.RecordedAt,
        WithdrawnAt = f.WithdrawnAt,
        WithdrawnReason = f.WithdrawnReason,
        Hours = FittingDistances.Hours(f.Hours),
    };
}
