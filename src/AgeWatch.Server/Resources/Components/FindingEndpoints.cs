using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>What inspections saw. A finding is withdrawn, never removed.</summary>
internal static class FindingEndpoints
{
    public static void MapFindings(this IEndpointRouteBuilder v1)
    {
        foreach (var of in SubjectRoute.All)
        {
            var findings = of.Map(
                v1, "findings", "Findings", "What inspections saw. They can shorten a life, never lengthen one.");
            findings.MapGet("", List)
                .ForReaders()
                .Named($"list{of.Name}Findings", "What inspections saw, the withdrawn too");
            findings.MapPost("", Add).ForOfficers().Named($"add{of.Name}Finding", "Note what an inspection saw");
            findings.MapGet("/{findingId:guid}", Get).ForReaders().Named($"get{of.Name}Finding", "One finding");
            findings.MapPost("/{findingId:guid}/withdraw", Withdraw)
                .ForOfficers()
                .Named($"withdraw{of.Name}Finding", "Withdraw a finding, with a reason");
        }
    }

    private static async Task<Results<Page<FindingReply>, Problem>> List(
        Guid id, SubjectRoute of, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await of.FindAsync(db, caller, id, stop) is { } subject
            ? await page.ReadAsync(Of(db, subject).AsNoTracking(), Keyset.By((InspectionFinding f) => f.Id), f =>
                FindingReply.From(f), stop)
            : Problems.NotFound();

    private static async Task<Results<TaggedCreated<FindingReply>, Problem>> Add(
        Guid id, SubjectRoute of, Body<FindingRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await of.FindAsync(db, caller, id, stop) is not { } subject)
        {
            return Problems.NotFound();
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        if (Problems.Refused(FindingRecord.Check(body.Value.ToRecord(), today)) is { } refused)
        {
            return refused;
        }

        var finding = body.Value.ToRow(caller.ClubId, subject, clock);
        db.Findings.Add(finding);
        db.Touch(subject.Row, clock);
        await writer.SaveAsync(caller.ClubId, [subject.VehicleId], stop);
        return Reply.Created($"{subject.Path}/findings/{finding.Id}", finding, FindingReply.From(finding));
    }

    private static async Task<Results<Tagged<FindingReply>, Problem>> Get(
        Guid id, Guid findingId, SubjectRoute of, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await of.FindAsync(db, caller, id, stop) is { } subject
        && await Of(db, subject).SingleOrDefaultAsync(f => f.Id == findingId, stop) is { } finding
            ? Reply.Of(finding, FindingReply.From(finding))
            : Problems.NotFound();

    private static async Task<Results<Tagged<FindingReply>, Problem>> Withdraw(
        Guid id, Guid findingId, SubjectRoute of, Body<WithdrawRequest> body, Caller caller,
        AgeWatchContext db, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        if (await of.FindAsync(db, caller, id, stop) is not { } subject
            || await Of(db, subject).SingleOrDefaultAsync(f => f.Id == findingId, stop) is not { } finding)
        {
            return Problems.NotFound();
        }

        if (finding.WithdrawnAt is not null)
        {
            return Problems.Conflict($"It has been withdrawn: {finding.WithdrawnReason}");
        }

        finding.WithdrawnAt = clock.GetUtcNow().UtcDateTime;
        finding.WithdrawnReason = body.Value.Reason;
        db.Touch(subject.Row, clock);
        await writer.SaveAsync(caller.ClubId, [subject.VehicleId], stop);
        return Reply.Of(finding, FindingReply.From(finding));
    }

    private static IQueryable<InspectionFinding> Of(AgeWatchContext db, Subject subject) => db.Findings.Where(
        f => f.ComponentId == subject.ComponentId
            && f.ServiceTaskId == subject.ServiceTaskId);
}

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

    public InspectionFinding ToRow(Guid clubId, Subject subject, TimeProvider clock) => new()
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
