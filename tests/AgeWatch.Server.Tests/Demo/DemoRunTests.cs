using System.Diagnostics;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Demo;

public sealed class DemoRunTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(3);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Run_twice_it_loads_once_and_says_the_same(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);

        var first = await ShowAsync(database);
        var second = await ShowAsync(database);

        Assert.Equal(Curl(first), Curl(second));
        await using var db = database.Open();
        Assert.Equal(
            (12, 25, 1),
            (
                await db.Members.CountAsync(Stop), await db.Vehicles.CountAsync(Stop),
                await db.NightRuns.CountAsync(Stop)));
        var digests = await db.Digests.AsNoTracking()
            .Select(d => new { d.MemberId, d.Kind, d.State })
            .ToListAsync(Stop);
        Assert.NotEmpty(digests);
        Assert.Equal(digests.Count, digests.Distinct().Count());
        Assert.All(digests, digest => Assert.Equal(SendState.Accepted, digest.State));
        Assert.Equal(digests.Count, Directory.GetFiles(Path.Combine(database.Folder, "mail"), "*.eml").Length);
    }

    /// <summary>The line to paste, with the port taken out: it is another each time here.</summary>
    private static string Curl(string output)
    {
        var line = output.Split('\n').Single(line => line.Contains("curl -s -H", StringComparison.Ordinal));
        return line.Split("http://")[0] + line.Split("/v1/")[1];
    }

    private static async Task<string> ShowAsync(TestDatabase database)
    {
        await using var app = OutOfProcessApp.Launch(database.Settings, "--demo");
        for (var waited = Stopwatch.StartNew(); !app.Output.Contains(
            "Ctrl-C ends it", StringComparison.Ordinal); await Task.Delay(50, Stop))
        {
            Assert.True(waited.Elapsed < Patience && !app.HasExited, app.Output);
        }

        Assert.Equal(0, await app.TerminateAsync());
        return app.Output;
    }
}
