using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>Decisions to run past a limit. They change what is asked of people, never the state.</summary>
internal static class DeferralEndpoints
{
    public static void MapDeferrals(this IEndpointRouteBuilder v1)
    {
        foreach (var of in SubjectRoute.All)
        {
            var deferrals = of.Map(
                v1, "deferrals", "Deferrals",
                "Decisions to run past a limit. They change what is asked, never the state.");
            deferrals.MapGet("", List).ForReaders().Named($"list{of.Name}Deferrals", "Its deferrals, the ended too");
            deferrals.MapPost("", Add)
                .ForOfficers()
                .Named($"defer{of.Name}", "Run past a limit, until a day and a distance");
            deferrals.MapGet("/{deferralId:guid}", Get).ForReaders().Named($"get{of.Name}Deferral", "One deferral");
            deferrals.MapPost("/{deferralId:guid}/end", End)
                .ForOfficers()
                .Named($"end{of.Name}Deferral", "End a deferral early");
        }
    }

    private static async Task<Results<Page<DeferralReply>, Problem>> List(
        Guid id, SubjectRoute of, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await of.FindAsync(db, caller, id, stop) is { } subject
            ? await page.ReadAsync(Of(db, subject).AsNoTracking(), Keyset.By((GrantedDeferral d) => d.Id), d =>
                DeferralReply.From(d), stop)
            : Problems.NotFound();

    private static async Task<Results<TaggedCreated<DeferralReply>, Problem>> Add(
        Guid id, SubjectRoute of, Body<DeferralRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await of.FindAsync(db, caller, id, stop) is not { } subject)
        {
            return Problems.NotFound();
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        var errors = DeferralRecord.Check(body.Value.ToRecord(subject.PartKind), today, today).At(JsonAt.Root).ToList();
        if (errors.Count > 0)
        {
            // The kind of its part stands in the way, not a member of the request.
            return errors.Find(error => error.Pointer == JsonAt.Root) is { } never
                ? Problems.Conflict(never.Detail) with { Errors = [never] }
                : Problems.Invalid(errors);
        }

        if (await ObstacleAsync(db, subject, today, stop) is { } obstacle)
        {
            return obstacle;
        }

        var deferral = body.Value.ToEntity(caller.ClubId, subject, today, clock);
        db.Deferrals.Add(deferral);
        db.Touch(subject.Row, clock);
        await writer.SaveAsync(caller.ClubId, [subject.VehicleId], stop);
        return Reply.Created($"{subject.Path}/deferrals/{deferral.Id}", deferral, DeferralReply.From(deferral));
    }

    private static async Task<Results<Tagged<DeferralReply>, Problem>> Get(
        Guid id, Guid deferralId, SubjectRoute of, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await of.FindAsync(db, caller, id, stop) is { } subject
        && await Of(db, subject).SingleOrDefaultAsync(d => d.Id == deferralId, stop) is { } deferral
            ? Reply.Of(deferral, DeferralReply.From(deferral))
            : Problems.NotFound();

    private static async Task<Results<Tagged<DeferralReply>, Problem>> End(
        Guid id, Guid deferralId, SubjectRoute of, Body<EndRequest> body, Caller caller,
        AgeWatchContext db, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        if (await of.FindAsync(db, caller, id, stop) is not { } subject
            || await Of(db, subject).SingleOrDefaultAsync(d => d.Id == deferralId, stop) is not { } deferral)
        {
            return Problems.NotFound();
        }

        if (deferral.EndedAt is not null)
        {
            return Problems.Conflict($"It was ended early: {deferral.EndedReason}");
        }

        if (deferral.UntilOn < await writer.TodayAsync(caller.ClubId, stop))
        {
            return Problems.Conflict($"It ended by itself with {deferral.UntilOn:yyyy-MM-dd}.");
        }

        deferral.EndedAt = clock.GetUtcNow().UtcDateTime;
        deferral.EndedReason = body.Value.Reason;
        db.Touch(subject.Row, clock);
        await writer.SaveAsync(caller.ClubId, [subject.VehicleId], stop);
        return Reply.Of(deferral, DeferralReply.From(deferral));
    }

    private static async Task<Problem?> ObstacleAsync(
        AgeWatchContext db, Subject subject, DateOnly today, CancellationToken stop) =>
        subject.VehicleId is null
            ? Problems.Conflict("The part is on no vehicle, so nothing has to be put off.")
        : await Of(db, subject).AnyAsync(
            d => d.EndedAt == null && d.UntilOn >= today
                && !db.ServiceRecords.Any(r => r.ServiceTaskId == d.ServiceTaskId && r.DoneOn >= d.DecidedOn),
            stop)
            ? Problems.Conflict(
                "It is deferred already. End that deferral first: each decision has its own reason and end.")
        : null;

    private static IQueryable<GrantedDeferral> Of(AgeWatchContext db, Subject subject) => db.Deferrals.Where(
        d => d.ComponentId == subject.ComponentId
            && d.ServiceTaskId == subject.ServiceTaskId);
}
