using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>Limits of one's own: read off a label, given by the maker, set by law. They stand beside the
/// catalogue's.</summary>
internal static class LimitEndpoints
{
    public static void MapLimits(this IEndpointRouteBuilder v1)
    {
        foreach (var of in SubjectRoute.All)
        {
            var limits = of.Map(
                v1, "limits", "Limits", "Limits of one's own beside the catalogue's, each with where it comes from.");
            limits.MapGet("", List).ForReaders().Named($"list{of.Name}Limits", "Limits of its own");
            limits.MapPost("", Add)
                .ForOfficers()
                .Named($"add{of.Name}Limit", "Add a limit from a label, a maker or a law, or of one's own");
            limits.MapGet("/{limitId:guid}", Get).ForReaders().Named($"get{of.Name}Limit", "One limit of its own");
            limits.MapPatch("/{limitId:guid}", Patch).ForOfficers().Named($"change{of.Name}Limit", "Change a limit");
            limits.MapDelete("/{limitId:guid}", Delete).ForOfficers().Named($"remove{of.Name}Limit", "Remove a limit");
        }
    }

    private static async Task<Results<Page<OwnLimitReply>, Problem>> List(
        Guid id, SubjectRoute of, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await of.FindAsync(db, caller, id, stop) is { } subject
            ? await page.ReadAsync(Of(db, subject).AsNoTracking(), Keyset.By((OwnLimit l) => l.Id), l =>
                OwnLimitReply.Of(l), stop)
            : Problems.NotFound();

    private static async Task<Results<TaggedCreated<OwnLimitReply>, Problem>> Add(
        Guid id, SubjectRoute of, Body<OwnLimitRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await of.FindAsync(db, caller, id, stop) is not { } subject)
        {
            return Problems.NotFound();
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        if (LimitRecord.CheckReview(body.Value.ReviewOn, today).At(JsonAt.Root).ToList() is { Count: > 0 } errors)
        {
            return Problems.Invalid(errors);
        }

        OwnLimit limit = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            ComponentId = subject.ComponentId,
            ServiceTaskId = subject.ServiceTaskId,
            Level = body.Value.Level,
            Anchor = AgeAnchor.Printed,
            Tag = body.Value.Tag,
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        };
        body.Value.WriteTo(limit);
        db.Limits.Add(limit);
        db.Touch(subject.Row, clock);
        await writer.SaveAsync(caller.ClubId, [subject.VehicleId], stop);
        return Reply.Created($"{subject.Path}/limits/{limit.Id}", limit, OwnLimitReply.Of(limit));
    }

    private static async Task<Results<Tagged<OwnLimitReply>, Problem>> Get(
        Guid id, Guid limitId, SubjectRoute of, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await of.FindAsync(db, caller, id, stop) is { } subject
        && await Of(db, subject).SingleOrDefaultAsync(l => l.Id == limitId, stop) is { } limit
            ? Reply.Of(limit, OwnLimitReply.Of(limit))
            : Problems.NotFound();

    private static async Task<Results<Tagged<OwnLimitReply>, Problem>> Patch(
        Guid id, Guid limitId, SubjectRoute of, Change<OwnLimitRequest> change, Caller caller,
        AgeWatchContext db, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        if (await of.FindAsync(db, caller, id, stop) is not { } subject
            || await Of(db, subject).SingleOrDefaultAsync(l => l.Id == limitId, stop) is not { } limit)
        {
            return Problems.NotFound();
        }

        var current = OwnLimitRequest.Of(limit);
        if (!change.TryApply(limit, current, out var wanted, out var problem))
        {
            return problem;
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        if (LimitRecord.CheckReview(wanted.ReviewOn, today).At(JsonAt.Root).ToList() is { Count: > 0 } errors)
        {
            return Problems.Invalid(errors);
        }

        if (wanted != current)
        {
            wanted.WriteTo(limit);
            db.Touch(subject.Row, clock);
            await writer.SaveAsync(caller.ClubId, [subject.VehicleId], stop);
        }

        return Reply.Of(limit, OwnLimitReply.Of(limit));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, Guid limitId, SubjectRoute of, IfMatch ifMatch, Caller caller,
        AgeWatchContext db, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        if (await of.FindAsync(db, caller, id, stop) is not { } subject
            || await Of(db, subject).SingleOrDefaultAsync(l => l.Id == limitId, stop) is not { } limit)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(limit, out var problem))
        {
            return problem;
        }

        db.Limits.Remove(limit);
        db.Touch(subject.Row, clock);
        await writer.SaveAsync(caller.ClubId, [subject.VehicleId], stop);
        return TypedResults.NoContent();
    }

    private static IQueryable<OwnLimit> Of(AgeWatchContext db, Subject subject) => db.Limits.Where(
        l => l.ComponentId == subject.ComponentId
            && l.ServiceTaskId == subject.ServiceTaskId);
}
