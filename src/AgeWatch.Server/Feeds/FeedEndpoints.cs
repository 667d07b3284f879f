using System.Buffers.Text;
using System.ComponentModel.DataAnnotations;
using System.Security.Cryptography;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Feeds;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Feeds;

/// <summary>Secret addresses for calendars and readers that cannot send a key.</summary>
internal static class FeedEndpoints
{
    public const int MostPerClub = 1000;

    public static void MapFeeds(this IEndpointRouteBuilder v1)
    {
        var feeds = v1.MapResource(
            "/feeds", "Feeds", "Due days as a calendar, a JSON feed, a table or lines of JSON, at a secret address.");
        feeds.MapGet("", List).ForMembers().Named("listFeeds", "List the feeds");
        feeds.MapPost("", Create).ForMembers().Named("createFeed", "Make a feed; its address is shown this once");
        feeds.MapGet("/{id:guid}", Get).ForMembers().Named("getFeed", "Read one feed");
        feeds.MapDelete("/{id:guid}", Revoke)
            .ForMembers()
            .Named("revokeFeed", "Revoke a feed: its address is dead at once");
        feeds.MapGet("/{token}.ics", FeedReader.Calendar).AllowAnonymous().WithMetadata(new Offers("text/calendar"))
            .Named("readCalendarFeed", "The due days as iCalendar");
        feeds.MapGet("/{token}.json", FeedReader.Json)
            .AllowAnonymous()
            .WithMetadata(new Offers(JsonFeed.ContentType, "application/json"))
            .Named("readJsonFeed", "The due days as JSON Feed 1.1");
        feeds.MapGet("/{token}.csv", FeedReader.Csv).AllowAnonymous().WithMetadata(new Offers("text/csv"))
            .Named("readCsvFeed", "The due days as a table");
        feeds.MapGet("/{token}.ndjson", FeedReader.Lines)
            .AllowAnonymous()
            .WithMetadata(new Offers("application/x-ndjson", "application/json"))
            .Named("readLinesFeed", "The due days, one JSON object a line");
    }

    private static Task<Page<FeedReply>> List(
        PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        page.ReadAsync(Visible(db, caller).AsNoTracking(), Keyset.By((Feed f) => f.Id), f => FeedReply.From(f), stop);

    private static async Task<Results<TaggedCreated<NewFeedReply>, Problem>> Create(
        Body<FeedRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        HttpContext http, CancellationToken stop)
    {
        // A member's feed shows that member's vehicles, whatever is asked for.
        var memberId = caller.Role == KeyRole.Officer ? body.Value.MemberId : caller.MemberId;
        if (memberId is { } member
            && !await db.Members.AnyAsync(m => m.Id == member, stop))
        {
            return Problems.Invalid("#/memberId", "no-such-member", "There is no such member in the club.");
        }

        if (body.Value.VehicleId is { } vehicle
            && !await db.Vehicles.AnyAsync(v =>
                v.Id == vehicle && (memberId == null || v.MemberId == memberId), stop))
        {
            return Problems.Invalid("#/vehicleId", "no-such-vehicle", "There is no such vehicle.");
        }

        if (await db.Feeds.CountAsync(f => f.RevokedAt == null, stop) >= MostPerClub)
        {
            return Problems.Conflict($"A club may have {MostPerClub} feeds.");
        }

        var token = Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(32));
        var feed = new Feed
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            Name = body.Value.Name,
            MemberId = memberId,
            VehicleId = body.Value.VehicleId,
            LeastHazard = body.Value.LeastHazard,
            LeastState = body.Value.LeastState,
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        };
        db.Feeds.Add(feed);
        db.AccessHashes.Add(new AccessHash
        {
            Hash = KeyText.HashOf(token),
            Kind = AccessKind.Feed,
            ClubId = feed.ClubId,
            TargetId = feed.Id
        });
        await writer.SaveAsync(caller.ClubId, stop);
        var address = $"{http.BaseAddress()}/v1/feeds/{token}";
        return Reply.Created(
            $"/v1/feeds/{feed.Id}", feed,
            new NewFeedReply(
                $"{address}.ics", $"{address}.json", $"{address}.csv", $"{address}.ndjson", FeedReply.From(feed)));
    }

    private static async Task<Results<Tagged<FeedReply>, Problem>> Get(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await Visible(db, caller).SingleOrDefaultAsync(f => f.Id == id, stop) is { } feed
            ? Reply.Of(feed, FeedReply.From(feed))
            : Problems.NotFound();

    private static async Task<Results<NoContent, Problem>> Revoke(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await Visible(db, caller).SingleOrDefaultAsync(f => f.Id == id, stop) is not { } feed)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(feed, out var problem))
        {
            return problem;
        }

        feed.RevokedAt ??= clock.GetUtcNow().UtcDateTime;
        await writer.SaveAsync(caller.ClubId, stop);
        return TypedResults.NoContent();
    }

    private static IQueryable<Feed> Visible(AgeWatchContext db, Caller caller) =>
        db.Feeds.Where(f =>
            caller.Role == KeyRole.Officer || f.MemberId == caller.MemberId);
}

/// <param name="LeastHazard">Only this class and worse.</param>
/// <param name="LeastState">Only this state and worse; absent: what is in life too, so that a calendar shows what
/// comes.</param>
/// <param name="MemberId">Only this member's vehicles; absent: the whole club with its shelf. A member's own key always
/// means its own.</param>
/// <param name="VehicleId">Only this vehicle.</param>
internal sealed record FeedRequest(
    [StringLength(200, MinimumLength = 1), OneLine] string Name,
    Guid? MemberId = null,
    Guid? VehicleId = null,
    HazardClass LeastHazard = HazardClass.Negligible,
    DueState LeastState = DueState.InLife);

internal sealed record FeedReply(
    Guid Id, string Name, Guid? MemberId, Guid? VehicleId, HazardClass LeastHazard, DueState LeastState,
    DateTime CreatedAt, DateTime? RevokedAt,
    DateOnly? LastUsedOn)
{
    public static FeedReply From(Feed f) =>
        new(f.Id, f.Name, f.MemberId, f.VehicleId, f.LeastHazard, f.LeastState, f.CreatedAt, f.RevokedAt, f.LastUsedOn);
}

/// <summary>Whoever has an address can read the feed. They are shown this once; only a hash is kept.</summary>
internal sealed record NewFeedReply(string Calendar, string Json, string Csv, string Lines, FeedReply Details);
