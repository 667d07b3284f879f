using System.Globalization;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Feeds;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Feeds;

/// <summary>Answers at a feed's secret address. A wrong and a revoked token are answered alike.</summary>
internal static class FeedReader
{
    public static async Task<IResult> Calendar(
        string token, Query<CalendarQuery> query, AgeWatchContext db, TimeProvider clock, HttpResponse response,
        CancellationToken stop)
    {
        if (await OpenAsync(db, token, clock, stop) is not { } feed)
        {
            return Problems.NotFound();
        }

        var form = query.Value.Kind == CalendarKind.Todo ? CalendarForm.Todos : CalendarForm.Events;
        var entries = await EntriesAsync(db, feed, clock, stop);
        return Bytes(CalendarFeed.Write(feed.Name, entries, form), CalendarFeed.ContentType, response);
    }

    public static async Task<IResult> Json(
        string token, AgeWatchContext db, TimeProvider clock, HttpResponse response, CancellationToken stop)
    {
        if (await OpenAsync(db, token, clock, stop) is not { } feed)
        {
            return Problems.NotFound();
        }

        var entries = await EntriesAsync(db, feed, clock, stop);
        return Bytes(JsonFeed.Write(feed.Name, null, entries), JsonFeed.ContentType, response);
    }

    public static async Task<IResult> Csv(
        string token, Query<CsvQuery> query, AgeWatchContext db, TimeProvider clock, HttpResponse response,
        CancellationToken stop)
    {
        if (await OpenAsync(db, token, clock, stop) is not { } feed)
        {
            return Problems.NotFound();
        }

        var rows = await FeedEntries.LoadAsync(db, feed, stop);
        using var table = new MemoryStream();
        await CsvTable.WriteAsync(table, Columns, rows.ToAsyncEnumerable(), query.Value.Raw, stop);
        response.Headers.ContentDisposition = "attachment; filename=\"due.csv\"";
        return Bytes(table.ToArray(), CsvTable.ContentType, response);
    }

    public static async Task<IResult> Lines(
        string token, AgeWatchContext db, TimeProvider clock, HttpResponse response, CancellationToken stop)
    {
        if (await OpenAsync(db, token, clock, stop) is not { } feed)
        {
            return Problems.NotFound();
        }

        var rows = await FeedEntries.LoadAsync(db, feed, stop);
        using var lines = new MemoryStream();
        await NdJson.WriteAsync(lines, rows.Select(FeedLine.From).ToAsyncEnumerable(), WireJson.Options, stop);
        return Bytes(lines.ToArray(), NdJson.ContentType, response);
    }

    private static readonly CsvColumn<FeedRow>[] Columns =
    [
        new("vehicle", r => r.Vehicle, IsText: true),
        new("part", r => r.Part),
        new("position", r => r.Position, IsText: true),
        new("state", r => WireNames.Of(r.State)),
        new("certainty", r => WireNames.Of(r.Certainty)),
        new("hazard", r => WireNames.Of(r.Hazard)),
        new("due_earliest", r => Day(r.DueEarliest)),
        new("due_latest", r => r.DueLatest == DateOnly.MaxValue ? null : Day(r.DueLatest)),
        new("since", r => Day(r.Since)),
        new("force", r => r.Force is { } force ? WireNames.Of(force) : null),
    ];

    private static string? Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static async Task<List<CalendarEntry>> EntriesAsync(
        AgeWatchContext db, Feed feed, TimeProvider clock, CancellationToken stop)
    {
        var now = clock.GetUtcNow().UtcDateTime;

        // To the second, as a calendar writes it.
        return await FeedEntries.EntriesAsync(
            db, await FeedEntries.LoadAsync(db, feed, stop), await SealAsync(db, stop),
            now.AddTicks(-(now.Ticks % TimeSpan.TicksPerSecond)), stop);
    }

    private static async Task<byte[]> SealAsync(AgeWatchContext db, CancellationToken stop) =>
        Convert.FromBase64String(await db.SharedSecretAsync("feed-ids", stop));

    private static async Task<Feed?> OpenAsync(
        AgeWatchContext db, string token, TimeProvider clock, CancellationToken stop)
    {
        var hash = KeyText.HashOf(token);
        var feed = await db.AccessHashes.AsNoTracking().AcrossClubs()
            .Where(a => a.Hash == hash && a.Kind == AccessKind.Feed)
            .Join(db.Feeds, a => new { a.ClubId, Id = a.TargetId }, f => new { f.ClubId, f.Id }, (_, feed) => feed)
            .Where(f => f.RevokedAt == null)
            .SingleOrDefaultAsync(stop);
        if (feed is null)
        {
            return null;
        }

        db.EnterClub(feed.ClubId);
        var today = DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime);
        if (feed.LastUsedOn != today)
        {
            await db.Feeds.Where(f => f.Id == feed.Id)
                .ExecuteUpdateAsync(set => set.SetProperty(f => f.LastUsedOn, today), stop);
        }

        return feed;
    }

    private static FeedResult Bytes(byte[] bytes, string contentType, HttpResponse response)
    {
        response.Headers["X-Robots-Tag"] = "noindex";
        return new(bytes, contentType);
    }

    /// <summary>Bytes with their own strong tag; 304 to whoever has them.</summary>
    private sealed class FeedResult(byte[] bytes, string contentType) : IResult
    {
        public async Task ExecuteAsync(HttpContext httpContext)
        {
            var response = httpContext.Response;
            var tag = EntityTag.Of(bytes);
            response.Headers.ETag = tag.ToString();
            response.Headers.CacheControl = "private, no-cache";
            if (TagList.TryRead(httpContext.Request.Headers.IfNoneMatch, out var known) && known.HoldsWeakly(tag))
            {
                response.StatusCode = StatusCodes.Status304NotModified;
                return;
            }

            response.ContentType = contentType;
            response.ContentLength = bytes.Length;
            await response.Body.WriteAsync(bytes, httpContext.RequestAborted);
        }
    }
}
