using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Xunit.Sdk;

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>What every other test stands on.</summary>
public sealed class FixtureTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task A_test_has_a_database_to_itself(DatabaseKind kind)
    {
        await using var first = await TestApp.StartAsync(kind);
        await using var second = await TestApp.StartAsync(kind);

        await first.GivenVehicleAsync();

        await using var mine = first.Database.Open();
        await using var other = second.Database.Open();
        Assert.Equal((1, 0), (await mine.Vehicles.CountAsync(Stop), await other.Vehicles.CountAsync(Stop)));
        Assert.Equal(kind == DatabaseKind.Postgres, mine.IsPostgres());
    }

    [Theory, OnBothDatabases]
    public async Task Servers_that_start_at_once_on_nothing_make_one_club(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateEmptyAsync(kind);

        var servers = Enumerable.Range(0, 3).Select(_ => OutOfProcessApp.Launch(database.Settings)).ToList();
        try
        {
            foreach (var server in servers)
            {
                await server.WaitUntilReadyAsync();
            }

            await using var db = database.Open();
            Assert.Equal((1, 1), (await db.Clubs.CountAsync(Stop), await db.Keys.CountAsync(Stop)));
            Assert.Equal(0, await servers[0].TerminateAsync());
        }
        finally
        {
            foreach (var server in servers)
            {
                await server.DisposeAsync();
            }
        }
    }

    [Theory, OnBothDatabases]
    public async Task A_killed_server_leaves_what_it_had_answered(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateEmptyAsync(kind);
        await using (var killed = await OutOfProcessApp.StartAsync(database.Settings))
        {
            using var client = killed.WithKey((await File.ReadAllTextAsync(
                Path.Combine(database.Folder, "first-officer-key.txt"), Stop)).Trim());
            using StringContent vehicle = new("""{ "name": "Kept", "distanceUnit": "km" }""", System.Text.Encoding.UTF8, "application/json");
            Assert.Equal(201, (int)(await client.PostAsync("/v1/vehicles", vehicle, Stop)).StatusCode);
            await killed.KillAsync();
        }

        await using var again = await OutOfProcessApp.StartAsync(database.Settings);
        await using var db = database.Open();
        Assert.Equal("Kept", await db.Vehicles.Select(v => v.Name).SingleAsync(Stop));
    }

    [Fact]
    public async Task A_cluster_comes_back_after_a_crash_and_leaves_nothing_at_the_end()
    {
        var binaries = PostgresFixture.Binaries();
        var cluster = await PostgresCluster.StartAsync(binaries);

        await cluster.CrashAndRestartAsync();
        Assert.True(Directory.Exists(cluster.Folder));
        await cluster.DisposeAsync();

        Assert.False(Directory.Exists(cluster.Folder));
    }

    [Fact]
    public void What_is_missing_skips_a_test_and_fails_it_where_it_is_required()
    {
        // Not by Record or Throws: they let a skip through, and this test would be skipped itself.
        var reason = "";
        try
        {
            PostgresFixture.Missing("No PostgreSQL.", isRequired: false);
        }
        catch (SkipException skipped)
        {
            reason = skipped.Message;
        }

        Assert.EndsWith("No PostgreSQL.", reason, StringComparison.Ordinal);
        var fault = PostgresFixture.Missing("No PostgreSQL.", isRequired: true);
        Assert.StartsWith("No PostgreSQL.", fault.Message, StringComparison.Ordinal);
    }
}
