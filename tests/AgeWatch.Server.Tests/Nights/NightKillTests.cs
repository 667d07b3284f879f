using System.Diagnostics;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Nights;

public sealed class NightKillTests
{
    private const int Owners = 60;
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>SIGKILL after the first digests are in the table and before the last is, twice; then the night is let
    /// come to its end.</summary>
    [Theory, OnBothDatabases]
    public async Task A_night_killed_half_way_leaves_every_digest_once(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);
        var key = KeyText.New();
        (string, string)[] settings = [.. database.Settings, ("AGEWATCH_FIRST_KEY", key)];
        int written;
        await using (var first = await OutOfProcessApp.StartAsync(settings))
        {
            await database.GivenOwnersAsync(Owners);
            using var officer = first.WithKey(key);
            Assert.Equal(202, (int)(await officer.Ask(HttpMethod.Post, "/v1/night-runs")).StatusCode);
            written = await KillAfterAsync(first, database, moreThan: 0);
        }

        Assert.InRange(written, 1, Owners - 1);
        await using (var second = await OutOfProcessApp.StartAsync(settings))
        {
            await KillAfterAsync(second, database, moreThan: written);
        }

        await using var last = await OutOfProcessApp.StartAsync(settings);
        using var client = last.WithKey(key);
        for (var waited = Stopwatch.StartNew(); ; await Task.Delay(50, Stop))
        {
            var run = (await (await client.GetAsync("/v1/night-runs", Stop)).Json()).GetProperty("items")[0];
            if (run.GetProperty("status").GetString() == "done")
            {
                Assert.InRange(run.GetProperty("attempts").GetInt32(), 2, 3);
                Assert.Equal(Owners, run.GetProperty("digests").GetInt32());
                break;
            }

            Assert.True(waited.Elapsed < Patience, $"{run} {last.Output}");
        }

        await using var db = database.Open();
        var digests = await db.Digests.AsNoTracking()
            .Select(d => new { d.Id, d.Recipient, d.MessageId, d.Lines })
            .ToListAsync(Stop);
        Assert.Equal(Owners, digests.Count);
        Assert.Equal(Owners, digests.Select(d => d.Recipient).Distinct().Count());
        Assert.Equal(Owners, digests.Select(d => d.MessageId).Distinct().Count());
        var notices = await db.Notices.AsNoTracking()
            .GroupBy(n => n.DigestId)
            .Select(g => new { g.Key, Count = g.Count() })
            .ToDictionaryAsync(g => g.Key, g => g.Count, Stop);
        Assert.All(digests, digest => Assert.Equal(digest.Lines, notices[digest.Id]));
    }

    private static async Task<int> KillAfterAsync(OutOfProcessApp app, TestDatabase database, int moreThan)
    {
        await using var db = database.Open();
        for (var waited = Stopwatch.StartNew(); waited.Elapsed < Patience; await Task.Delay(2, Stop))
        {
            if (await db.Digests.CountAsync(Stop) is var written && (written > moreThan || written == Owners))
            {
                await app.KillAsync();
                return await db.Digests.CountAsync(Stop);
            }
        }

        throw new TimeoutException($"The night does not go on: {app.Output}");
    }
}
