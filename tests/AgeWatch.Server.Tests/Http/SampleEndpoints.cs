using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Http;

/// <summary>How an endpoint module looks: the map on top, the handlers, the wire records last.</summary>
internal static class SampleEndpoints
{
    public static void MapSamples(this IEndpointRouteBuilder v1)
    {
        var samples = v1.MapResource("/samples", "Samples", "Members, the short way.").ForOfficers();
        samples.MapGet("/", List).Named("listSamples", "List samples by name");
        samples.MapPost("/", Create).Named("createSample", "Make a sample");
        samples.MapGet("/{id:guid}", Read).Named("readSample", "Read one sample");
        samples.MapPatch("/{id:guid}", Change).Named("changeSample", "Change a sample");
        samples.MapDelete("/{id:guid}", Remove).Named("removeSample", "Remove a sample");
    }

    private static Task<Page<SampleReply>> List(
        Query<SampleFilter> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var members = db.Members.AsNoTracking().Where(member => member.ClubId == caller.ClubId);
        if (query.Value.Unit is { } unit)
        {
            members = members.Where(member => member.DistanceUnit == unit);
        }

        return page.ReadAsync(
            members, Keyset.By((Member member) => member.Name).Then(member => member.Id), member =>
                SampleReply.From(member), stop);
    }

    private static async Task<Results<TaggedCreated<SampleReply>, Problem>> Create(
        Body<SampleRequest> body, Caller caller, AgeWatchContext db, TimeProvider clock, CancellationToken stop)
    {
        var now = clock.GetUtcNow().UtcDateTime;
        Member member = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(),
            Name = body.Value.Name,
            CreatedAt = now
        };
        body.Value.WriteTo(member);
        db.Add(member);
        await db.SaveChangesAsync(stop);
        return Reply.Created($"/v1/samples/{member.Id}", member, SampleReply.From(member));
    }

    private static async Task<Results<Tagged<SampleReply>, Problem>> Read(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await db.Members.FindAsync([caller.ClubId, id], stop) is { } member
            ? Reply.Of(member, SampleReply.From(member))
            : Problems.NotFound();

    private static async Task<Results<Tagged<SampleReply>, Problem>> Change(
        Guid id, Change<SampleRequest> change, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (await db.Members.FindAsync([caller.ClubId, id], stop) is not { } member)
        {
            return Problems.NotFound();
        }

        if (!change.TryApply(member, SampleRequest.From(member), out var wanted, out var problem))
        {
            return problem;
        }

        wanted.WriteTo(member);
        await db.SaveChangesAsync(stop);
        return Reply.Of(member, SampleReply.From(member));
    }

    private static async Task<Results<NoContent, Problem>> Remove(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (await db.Members.FindAsync([caller.ClubId, id], stop) is not { } member)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(member, out var problem))
        {
            return problem;
        }

        db.Remove(member);
        await db.SaveChangesAsync(stop);
        return TypedResults.NoContent();
    }
}

internal sealed record SampleFilter(DistanceUnit? Unit = null, [Range(1, 9)] int? Rank = null, DateOnly? AsOf = null);

internal sealed record SampleRequest(
    [StringLength(200), OneLine] string Name,
    DistanceUnit Unit,
    [StringLength(100)] string? Reference = null,
    DateOnly? PausedUntil = null) : IChecked
{
    public void Check(FieldFaults complaints)
    {
        if (PausedUntil < new DateOnly(2000, 1, 1))
        {
            complaints.Add(nameof(PausedUntil), "too-early", "Must be after 1999.");
        }
    }

    public static SampleRequest From(Member member) =>
        new(member.Name, member.DistanceUnit, member.Reference, member.PausedUntil);

    public void WriteTo(Member member) =>
        (member.Name, member.DistanceUnit, member.Reference, member.PausedUntil) = (Name, Unit, Reference, PausedUntil);
}

internal sealed record SampleReply(
    Guid Id, string Name, DistanceUnit Unit, string? Reference, DateOnly? PausedUntil, DateTime CreatedAt)
{
    public static SampleReply From(Member member) =>
        new(member.Id, member.Name, member.DistanceUnit, member.Reference, member.PausedUntil, member.CreatedAt);
}

/// <summary>Bodies and answers that need no table.</summary>
internal static class EchoEndpoints
{
    public static void MapEcho(this IEndpointRouteBuilder v1)
    {
        var echo = v1.MapResource("/echo", "Echo", "Bodies that come back.").ForReaders();
        echo.MapPost("/", (Body<EchoRequest> body) => Reply.Of(body.Value)).Named("echo", "Say it back");
        echo.MapGet("/fault", IResult () => throw new InvalidDataException("the inner words"))
            .Named("failAlways", "Fail");
        echo.MapGet("/computed", () => Reply.Of(new EchoInner(7))).Named("readComputed", "Compute");
        echo.MapGet("/page", Results<Ok<EchoInner>, HtmlPage> (HtmlChoice choice, Query<EchoWords> query) =>
            choice.IsHtml
                ? new HtmlPage(query.Value.Words, $"<p>{Html.Said(query.Value.Words)}</p>")
                : TypedResults.Ok(new EchoInner(7)))
            .Named("readPage", "Words as a page");
        v1.MapGet("/no-right", () => "never seen").WithName("forgotten").ExcludeFromDescription();
    }
}

internal sealed record EchoRequest(
    int Count,
    decimal? Ratio = null,
    bool? Flag = null,
    DateOnly? On = null,
    DateTime? At = null,
    DateSpan? Built = null,
    HazardClass? Hazard = null,
    WireDistance? Odometer = null,
    IReadOnlyList<string>? Words = null,
    IReadOnlyList<EchoInner>? Inner = null,
    string? Note = null);

internal sealed record EchoWords(string Words = "plain");

internal sealed record EchoInner([Range(0, 10)] int Depth);
