using System.Buffers.Text;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using AgeWatch.Core.Due;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Feeds;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Feeds;

internal static class FeedEntries
{
    private const int MostTries = 5;
    private const string Shelf = "Shelf";

    public static async Task<List<FeedRow>> LoadAsync(AgeWatchContext db, Feed feed, CancellationToken stop)
    {
        IQueryable<Vehicle> vehicles = db.Vehicles;
        vehicles = feed.VehicleId is { } vehicleId ? vehicles.Where(v => v.Id == vehicleId) : vehicles;
        vehicles = feed.MemberId is { } memberId ? vehicles.Where(v => v.MemberId == memberId) : vehicles;
        var withShelf = feed is { VehicleId: null, MemberId: null };
        return await (
            from state in db.DueStates.AsNoTracking()
            where state.Hazard <= feed.LeastHazard && state.State <= feed.LeastState
            join vehicle in vehicles on state.VehicleId equals vehicle.Id into found
            from vehicle in found.DefaultIfEmpty()
            where vehicle != null || (withShelf && state.VehicleId == null)
            orderby state.Rank, state.SubjectId
            select new FeedRow
            {
                ClubId = state.ClubId,
                SubjectId = state.SubjectId,
                Vehicle = vehicle == null ? Shelf : vehicle.Name,
                PartKind = state.PartKind,
                Position = db.Components.Where(c => c.Id == state.SubjectId)
                    .Select(c => c.Position)
                    .FirstOrDefault(),
                State = state.State,
                Certainty = state.Certainty,
                Force = state.Force,
                Hazard = state.Hazard,
                DueEarliest = state.DueEarliest,
                DueLatest = state.DueLatest,
                Since = state.Since,
                Cycle = state.SubjectKind == SubjectKind.ServiceTask
                    ? db.ServiceRecords.Where(r => r.ServiceTaskId == state.SubjectId)
                        .Max(r => (DateOnly?)r.DoneOn)
                    : null,
            }).ToListAsync(stop);
    }

    /// <summary>
    /// Those that are due on a day, and those of which nothing can be told, on the day since when. What was said of
    /// each is kept, whichever feed said it: an entry that now says something else gets the next sequence number and
    /// this moment as its day of change, and all others stay as they are to the byte.
    /// </summary>
    /// <param name="seal">A server secret: an id tells nothing and cannot be guessed.</param>
    public static async Task<List<CalendarEntry>> EntriesAsync(
        AgeWatchContext db, IReadOnlyList<FeedRow> rows, byte[] seal, DateTime now, CancellationToken stop)
    {
        var said = rows.Where(row => row.DueEarliest is not null || row.State != DueState.InLife)
            .Select(row => (Row: row, Entry: Entry(row, seal)))
            .ToList();
        for (var tries = 1; ; tries++)
        {
            try
            {
                return await StampAsync(db, said, now, stop);
            }
            catch (DbUpdateException twin) when (tries < MostTries
                && (twin is DbUpdateConcurrencyException || twin.IsUniqueViolation()))
            {
                // Another reader of the same feed was a moment faster; what it kept stands.
                db.ChangeTracker.Clear();
            }
        }
    }

    private static async Task<List<CalendarEntry>> StampAsync(
        AgeWatchContext db, List<(FeedRow Row, CalendarEntry Entry)> said, DateTime now, CancellationToken stop)
    {
        List<CalendarEntry> entries = [];
        foreach (var some in said.Chunk(500))
        {
            var clubId = some[0].Row.ClubId;
            var ids = some.Select(s => s.Row.SubjectId).ToList();
            var known = await db.FeedEntries.Where(e => ids.Contains(e.SubjectId))
                .ToDictionaryAsync(e => e.SubjectId, stop);
            foreach (var (row, entry) in some)
            {
                var hash = Hash(entry);
                if (!known.TryGetValue(row.SubjectId, out var kept))
                {
                    kept = new() { ClubId = clubId, SubjectId = row.SubjectId, Hash = hash, ChangedAt = now };
                    db.Add(kept);
                }
                else if (kept.Hash != hash)
                {
                    (kept.Hash, kept.Sequence, kept.ChangedAt) = (hash, kept.Sequence + 1, now);
                }

                entries.Add(entry with
                {
                    ChangedAt = new(DateTime.SpecifyKind(kept.ChangedAt, DateTimeKind.Utc)),
                    Sequence = kept.Sequence
                });
            }
        }

        await db.SaveChangesAsync(stop);
        return entries;
    }

    private static string Hash(CalendarEntry entry) => Convert.ToHexStringLower(SHA256.HashData(
        JsonSerializer.SerializeToUtf8Bytes(new object[] { entry.Uid, entry.Day, entry.Summary, entry.Description,
        entry.Categories })));

    private static CalendarEntry Entry(FeedRow row, byte[] seal) =>
        new(
            Uid(row, seal),
            row.DueEarliest ?? row.Since,
            $"{row.Vehicle}: {row.Part}{(row.Position is { } position ? $" ({position})" : "")}",
            Description(row),
            DateTimeOffset.UnixEpoch,
            0,
            [WireNames.Of(row.Hazard), WireNames.Of(row.State)],
            HasDueDay: row.DueEarliest is not null);

    private static string Description(FeedRow row) => string.Create(CultureInfo.InvariantCulture, $"""
        {Words.Of(row.State, row.Certainty, row.Force)} - {Words.Of(row.Hazard)}
        {Due(row)}
        {DigestContent.DeferTo}
        """);

    private static string Due(FeedRow row) => row.DueEarliest is not { } earliest
        ? string.Create(
            CultureInfo.InvariantCulture, $"No due day can be told, since {row.Since:yyyy-MM-dd}; that is never good.")
        : string.Create(CultureInfo.InvariantCulture, $"Due {earliest:yyyy-MM-dd}{row.DueLatest switch
        {
            null => "",
            { } latest when latest == earliest => "",
            { } latest when latest == DateOnly.MaxValue => " at the earliest",
            { } latest =>
                string.Create(CultureInfo.InvariantCulture, $" at the earliest, {latest:yyyy-MM-dd} at the latest"),
        }}.");

    private static string Uid(FeedRow row, byte[] seal) => Base64Url.EncodeToString(HMACSHA256.HashData(
        seal, Encoding.UTF8.GetBytes(string.Create(
            CultureInfo.InvariantCulture, $"{row.ClubId:n}/{row.SubjectId:n}/{row.Cycle:yyyyMMdd}"))).AsSpan(0, 18));
}
