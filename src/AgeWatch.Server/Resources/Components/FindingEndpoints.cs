using AgeWatch.Core.Records;
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

        var finding = body.Value.ToEntity(caller.ClubId, subject, clock);
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
