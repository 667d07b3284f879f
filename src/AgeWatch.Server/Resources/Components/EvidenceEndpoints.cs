using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>What a part's age rests on. Nothing of it is ever removed: it is withdrawn, with a reason.</summary>
internal static class EvidenceEndpoints
{
    public static void MapEvidence(this IEndpointRouteBuilder v1)
    {
        var evidence = v1.MapParts("/components/{id:guid}/evidence");
        evidence.MapGet("", List).ForReaders().Named("listEvidence", "All evidence of a part, the withdrawn too");
        evidence.MapPost("", Add).ForOfficers().Named("addEvidence", "Add evidence");
        evidence.MapGet("/{evidenceId:guid}", Get).ForReaders().Named("getEvidence", "One piece of evidence");
        evidence.MapPatch("/{evidenceId:guid}", ReadAgain)
            .ForOfficers()
            .Named("readMarkAgain", "Read a mark in another way; the old reading stays to be seen");
        evidence.MapPost("/{evidenceId:guid}/withdraw", Withdraw)
            .ForOfficers()
            .Named("withdrawEvidence", "Withdraw evidence, with a reason");
    }

    private static async Task<Results<Page<EvidenceReply>, Problem>> List(
        Guid id, Query<EvidenceFilter> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (!await db.Of(caller).AnyAsync(c => c.Id == id, stop))
        {
            return Problems.NotFound();
        }

        var evidence = db.Evidence.AsNoTracking().Where(e => e.ComponentId == id);
        evidence = query.Value.Withdrawn is { } withdrawn
            ? evidence.Where(e => (e.WithdrawnAt != null) == withdrawn)
            : evidence;
        return await page.ReadAsync(evidence, Keyset.By((EvidenceItem e) => e.Id), e => EvidenceReply.From(e), stop);
    }

    private static async Task<Results<TaggedCreated<EvidenceReply>, Problem>> Add(
        Guid id, Body<EvidenceRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component)
        {
            return Problems.NotFound();
        }

        if (body.Value.Kind == EvidenceKind.Fitted)
        {
            return Problems.Invalid(
                "#/kind", "not-here", $"A fitted day belongs to a fitting: see /v1/components/{id}/fittings.");
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        if (Problems.Refused(await EvidenceRules.RefusalsAsync(body.Value, today, caller, db, stop)) is { } refused)
        {
            return refused;
        }

        var row = EvidenceRules.ToEntity(body.Value, component, clock);
        db.Evidence.Add(row);
        db.Touch(component, clock);
        await writer.SaveAsync(caller.ClubId, [component.VehicleId], stop);
        return Reply.Created($"/v1/components/{id}/evidence/{row.Id}", row, EvidenceReply.From(row));
    }

    private static async Task<Results<Tagged<EvidenceReply>, Problem>> Get(
        Guid id, Guid evidenceId, AgeWatchContext db, CancellationToken stop) =>
        await FindAsync(db, id, evidenceId, stop) is { } row
            ? Reply.Of(row, EvidenceReply.From(row))
            : Problems.NotFound();

    // The answer is the new row, named by Content-Location: the old reading stays to be seen beside it.
    private static async Task<Results<Tagged<EvidenceReply>, Problem>> ReadAgain(
        Guid id, Guid evidenceId, Change<EvidenceChange> change, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, HttpResponse response, CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component
            || await FindAsync(db, id, evidenceId, stop) is not { } row)
        {
            return Problems.NotFound();
        }

        EvidenceChange current = new(row.Convention, row.Triangle);
        if (!change.TryApply(row, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted == current)
        {
            return Reply.Of(row, EvidenceReply.From(row));
        }

        if (row.WithdrawnAt is not null)
        {
            return Withdrawn(row);
        }

        if (row.Text is null)
        {
            return Problems.Invalid("#/convention", "not-a-mark", "Only a mark can be read in another way.");
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        var refusals = await EvidenceRules.RefusalsAsync(
            new(EvidenceKind.Mark, row.On, row.Text, wanted.Convention), today, caller, db, stop);
        if (Problems.Refused(refusals.Where(r => r.Member == nameof(wanted.Convention))) is { } unknown)
        {
            return unknown;
        }

        var again = row.ReadAs(wanted, clock);
        row.WithdrawnAt = again.RecordedAt;
        row.WithdrawnReason = $"Read again; see evidence {again.Id}.";
        db.Evidence.Add(again);
        db.Touch(component, clock);
        await writer.SaveAsync(caller.ClubId, [component.VehicleId], stop);
        response.Headers.ContentLocation = $"/v1/components/{id}/evidence/{again.Id}";
        return Reply.Of(again, EvidenceReply.From(again));
    }

    private static async Task<Results<Tagged<EvidenceReply>, Problem>> Withdraw(
        Guid id, Guid evidenceId, Body<WithdrawRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.FindComponentAsync(caller, id, stop) is not { } component
            || await FindAsync(db, id, evidenceId, stop) is not { } row)
        {
            return Problems.NotFound();
        }

        if (row.WithdrawnAt is not null)
        {
            return Withdrawn(row);
        }

        row.WithdrawnAt = clock.GetUtcNow().UtcDateTime;
        row.WithdrawnReason = body.Value.Reason;
        db.Touch(component, clock);
        await writer.SaveAsync(caller.ClubId, [component.VehicleId], stop);
        return Reply.Of(row, EvidenceReply.From(row));
    }

    private static EvidenceItem ReadAs(this EvidenceItem row, EvidenceChange wanted, TimeProvider clock) => new()
    {
        ClubId = row.ClubId,
        Id = Guid.CreateVersion7(clock.GetUtcNow()),
        ComponentId = row.ComponentId,
        Kind = row.Kind,
        Text = row.Text,
        Convention = wanted.Convention,
        On = row.On,
        NotedBy = row.NotedBy,
        PhotoUrl = row.PhotoUrl,
        PhotoSha256 = row.PhotoSha256,
        Triangle = wanted.Triangle,
        RecordedAt = clock.GetUtcNow().UtcDateTime,
    };

    private static Problem Withdrawn(EvidenceItem row) =>
        Problems.Conflict($"It has been withdrawn: {row.WithdrawnReason}");

    private static Task<EvidenceItem?> FindAsync(
        AgeWatchContext db, Guid id, Guid evidenceId, CancellationToken stop) =>
        db.Evidence.SingleOrDefaultAsync(e =>
            e.ComponentId == id && e.Id == evidenceId, stop);
}

/// <param name="Withdrawn">Absent: both what stands and what was withdrawn.</param>
internal sealed record EvidenceFilter(bool? Withdrawn = null);
