using System.ComponentModel.DataAnnotations;
using System.Text.Json;
using AgeWatch.Core;
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

/// <summary>A club's own way of reading dates.</summary>
/// <param name="Pattern">A .NET regular expression for the whole cleaned text (upper case, single spaces), with groups
/// from day, month, monthLetter, week, year, quarter, dayOfYear; no look-around, no back references.</param>
/// <param name="TyreWeeks">Weeks run Sunday to Saturday from the first full one; else ISO 8601.</param>
/// <param name="Years">First and last day of use; absent: 1900 to 2099.</param>
/// <param name="Examples">At least one; each must come out as stated.</param>
internal sealed record ConventionRequest(
    [StringLength(64, MinimumLength = 1)] string Key,
    [StringLength(OwnConvention.MostNameCharacters, MinimumLength = 1), OneLine] string Name,
    [StringLength(2000, MinimumLength = 1)] string SourceNote,
    [StringLength(OwnConvention.MostPatternCharacters, MinimumLength = 1)] string Pattern,
    [Length(1, OwnConvention.MostExamples)] IReadOnlyList<ConventionExample> Examples,
    MarkKind Kind = MarkKind.Manufacture,
    bool TyreWeeks = false,
    DateSpan? Years = null)
{
    public static ConventionRequest From(OwnConventionDraft draft) => new(
        draft.Key, draft.Name, draft.SourceNote, draft.Pattern,
        [.. draft.Examples.Select(e => new ConventionExample(e.Mark, e.Means, e.Observed))],
        draft.Kind, draft.TyreWeeks, draft.Years);

    public OwnConventionDraft ToDraft() => new()
    {
        Key = Key,
        Name = Name,
        SourceNote = SourceNote,
        Pattern = Pattern,
        Kind = Kind,
        TyreWeeks = TyreWeeks,
        Years = Years,
        Examples = [.. Examples.Select(e => new OwnExample(e.Mark, e.Means, e.Observed))],
    };
}

internal sealed record ConventionChangedContent(ConventionRequest Before, ConventionRequest After);

/// <param name="Means">Every span it must come out as: a day, a month, a year, or first/last.</param>
internal sealed record ConventionExample(
    [StringLength(MarkQuestion.MaxTextLength, MinimumLength = 1)] string Mark, IReadOnlyList<DateSpan> Means,
    DateOnly? Observed = null);

/// <param name="Means">Null: it only parts the others.</param>
internal sealed record MarkPartReply(string Text, string? Means);

internal sealed record ConventionReply
{
    public required string Key { get; init; }

    public required string Name { get; init; }

    public required MarkKind Kind { get; init; }

    public required string LooksLike { get; init; }

    public required string FoundOn { get; init; }

    public required string ReadsAs { get; init; }

    /// <summary>The first example taken apart.</summary>
    public required IReadOnlyList<MarkPartReply> Parts { get; init; }

    public required string MistakenFor { get; init; }

    public required DateOnly UsedFrom { get; init; }

    public required DateOnly UsedUntil { get; init; }

    public required Tag Tag { get; init; }

    public required string Source { get; init; }

    public required bool Own { get; init; }

    /// <summary>Where it is a plain date (a month, week or quarter in words, a month and year, a year in full) it is
    /// read on every kind of part.</summary>
    public required bool Anywhere { get; init; }

    public required IReadOnlyList<ConventionExample> Examples { get; init; }

    public static ConventionReply From(MarkConvention c, bool isOwn) => new()
    {
        Key = c.Key,
        Name = c.About.Name,
        Kind = c.Kind,
        LooksLike = c.About.LooksLike,
        FoundOn = c.About.FoundOn,
        ReadsAs = c.About.ReadsAs,
        Parts = [.. c.Parts.Select(p => new MarkPartReply(p.Text, p.Means))],
        MistakenFor = c.About.MistakenFor,
        UsedFrom = c.Years.First,
        UsedUntil = c.Years.Last,
        Tag = c.Tag,
        Source = c.Source,
        Own = isOwn,
        Anywhere = c.IsReadAnywhere,
        Examples = [.. c.About.Examples.Select(e => new ConventionExample(e.Text, e.Means))],
    };
}
