using System.Text.Json;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Marks;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Conventions;

/// <summary>How date marks are written: those built in, and the club's own.</summary>
internal static class ConventionEndpoints
{
    /// <summary>The event of a change.</summary>
    public const string Changed = "mark-convention.changed";

    public static void MapMarkConventions(this IEndpointRouteBuilder v1)
    {
        var conventions = v1.MapResource("/mark-conventions", "Marks", "How date marks are written and read.");
        conventions.MapGet("", List)
            .ForReaders()
            .Named(
                "listMarkConventions", "Every convention: what it looks like, how it reads, what it is mistaken for");
        conventions.MapPost("", Create)
            .ForOfficers()
            .Named("createMarkConvention", "Describe a convention of the club's own, proved by worked examples");
        conventions.MapGet("/{key}", Get).ForReaders().Named("getMarkConvention", "One convention");
        conventions.MapPatch("/{key}", Change)
            .ForOfficers()
            .Named(
                "changeMarkConvention",
                "Change a convention of the club's own; its examples must still come out as stated");
        conventions.MapDelete("/{key}", Delete)
            .ForOfficers()
            .Named("removeMarkConvention", "Remove a convention of the club's own");
    }

    private static async Task<Results<Page<ConventionReply>, HtmlPage>> List(
        HtmlChoice choice, PageQuery page, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        var own = await OwnConventions.OfAsync(db, caller.ClubId, stop);
        return choice.IsHtml
            ? ConventionPage.Of(own, await writer.TodayAsync(caller.ClubId, stop))
            : page.Read(
                MarkConventions.All.Select(c => ConventionReply.From(c, isOwn: false))
                    .Concat(own.Select(c => ConventionReply.From(c, isOwn: true))),
                Keyset.By((ConventionReply c) => c.Key),
                c => c);
    }

    private static async Task<Results<Tagged<ConventionReply>, Problem>> Get(
        string key, AgeWatchContext db, CancellationToken stop)
    {
        if (MarkConventions.Find(key) is { } builtIn)
        {
            return Reply.Of(ConventionReply.From(builtIn, isOwn: false));
        }

        return await db.ClubConventions.SingleOrDefaultAsync(c =>
            c.Key == key, stop) is { } row
            ? Reply.Of(row, ConventionReply.From(OwnConventions.Restore(row), isOwn: true))
            : Problems.NotFound();
    }

    private static async Task<Results<TaggedCreated<ConventionReply>, Problem>> Create(
        Body<ConventionRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        var draft = body.Value.ToDraft();
        if (await db.ClubConventions.AnyAsync(c => c.Key == draft.Key, stop))
        {
            return Problems.Conflict($"The club already has a convention \"{draft.Key}\".");
        }

        var (convention, problems) = OwnConvention.Check(draft);
        if (convention is null)
        {
            return Invalid(problems);
        }

        var row = new ClubConvention
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            Key = draft.Key,
            Draft = JsonSerializer.Serialize(draft, WireJson.Options),
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        };
        db.ClubConventions.Add(row);
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Created($"/v1/mark-conventions/{row.Key}", row, ConventionReply.From(convention, isOwn: true));
    }

    private static async Task<Results<Tagged<ConventionReply>, Problem>> Change(
        string key, Change<ConventionRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (MarkConventions.Find(key) is not null)
        {
            return Problems.Conflict("This convention is built in; only the club's own can be changed.");
        }

        if (await db.ClubConventions.SingleOrDefaultAsync(c =>
            c.Key == key, stop) is not { } row)
        {
            return Problems.NotFound();
        }

        var before = JsonSerializer.Deserialize<OwnConventionDraft>(row.Draft, WireJson.Options)!;
        if (!change.TryApply(row, ConventionRequest.From(before), out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted.Key != row.Key)
        {
            return Problems.Invalid(
                "#/key", "fixed", "Evidence names it by this key; describe another convention instead.");
        }

        var after = wanted.ToDraft();
        var (convention, problems) = OwnConvention.Check(after);
        if (convention is null)
        {
            return Invalid(problems);
        }

        var draft = JsonSerializer.Serialize(after, WireJson.Options);
        if (draft != row.Draft)
        {
            // What it said before stays to be seen among the events: due days of old were worked out by it.
            row.Draft = draft;
            await writer.SaveAsync(caller.ClubId, [], stop, () => db.RaiseAsync(
                caller.ClubId, Changed, row.Id, new ConventionChangedContent(ConventionRequest.From(before), wanted),
                clock.GetUtcNow().UtcDateTime, stop));
        }

        return Reply.Of(row, ConventionReply.From(convention, isOwn: true));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        string key, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (MarkConventions.Find(key) is not null)
        {
            return Problems.Conflict("This convention is built in; only the club's own can be removed.");
        }

        if (await db.ClubConventions.SingleOrDefaultAsync(c =>
            c.Key == key, stop) is not { } row)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(row, out var problem))
        {
            return problem;
        }

        db.ClubConventions.Remove(row);
        await writer.SaveAsync(caller.ClubId, stop);
        return TypedResults.NoContent();
    }

    private static Problem Invalid(IReadOnlyList<OwnConventionProblem> problems) =>
        Problems.Invalid([.. problems.Select(p => new FieldError(WireNames.Of(p.Fault), p.Detail, PointerOf(p)))]);

    private static string PointerOf(OwnConventionProblem problem) => problem.Fault switch
    {
        OwnConventionFault.BadKey or OwnConventionFault.KeyTaken => "#/key",
        OwnConventionFault.BadName => "#/name",
        OwnConventionFault.SourceNoteMissing => "#/sourceNote",
        OwnConventionFault.ExamplesMissing or OwnConventionFault.TooManyExamples => "#/examples",
        OwnConventionFault.ExampleFails => $"#/examples/{problem.Example}",
        OwnConventionFault.PatternMissing or OwnConventionFault.PatternTooLong or OwnConventionFault.PatternInvalid
            or OwnConventionFault.UnknownGroup or OwnConventionFault.YearGroupMissing
                or OwnConventionFault.GroupsDoNotMakeADate => "#/pattern",
    };
}
