using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Fixtures;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Http;

/// <summary>The program as it is started by a person: arguments, variables, output, exit code, files.</summary>
public sealed class ProcessTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("agewatch-");

    private string Data => Path.Combine(_folder.FullName, "data");

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Delete(recursive: true);

    [Theory]
    [InlineData("text")]
    [InlineData("json")]
    public async Task No_secret_or_address_of_a_person_reaches_the_log(string form)
    {
        await using var server = await OutOfProcessApp.StartAsync([
            ("AGEWATCH_DATA", Data), ("AGEWATCH_LOG", form), ("AGEWATCH_LOG_LEVEL", "debug")]);
        var key = (await File.ReadAllTextAsync(Path.Combine(Data, "first-officer-key.txt"), Stop)).Trim();
        using var client = server.WithKey(key);

        foreach (var path in new[]
        {
            $"/v1/nowhere?key={key}",
            $"/v1/{key}",
            "/v1/feeds/canary-token-in-path.ics",
            "/v1/nowhere?email=canary.person@club.example",
            "/v1/canary.person%40club.example",
            "/u/canary-token-unsubscribe",
            "/look/canary-token-of-a-digest",
        })
        {
            var response = await client.GetAsync(path, Stop);
            Assert.Equal(404, (int)response.StatusCode);
            Assert.DoesNotContain("canary-token", await response.Content.ReadAsStringAsync(Stop));
        }

        Assert.Equal(0, await server.TerminateAsync());
        var log = server.Output;
        Assert.Contains("404", log);
        Assert.DoesNotContain(key, log);
        Assert.DoesNotContain(key[4..], log);
        Assert.DoesNotContain("canary", log);
        if (form == "json")
        {
            Assert.All(log.Split('\n', StringSplitOptions.RemoveEmptyEntries), line =>
                JsonDocument.Parse(line).Dispose());
        }
    }

    [Fact]
    public async Task The_first_start_leaves_a_key_that_only_its_owner_can_read()
    {
        string first;
        await using (var server = await OutOfProcessApp.StartAsync([("AGEWATCH_DATA", Data)]))
        {
            first = await File.ReadAllTextAsync(Path.Combine(Data, "first-officer-key.txt"), Stop);
            Assert.Equal(0, await server.TerminateAsync());
        }

        Assert.Matches("^agw_[0-9a-f]{64}\n$", first);
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(
                UnixFileMode.UserRead | UnixFileMode.UserWrite,
                File.GetUnixFileMode(Path.Combine(Data, "first-officer-key.txt")));
            Assert.Equal(
                UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(Data));
        }

        // Taken away and started again: no second key is made.
        File.Delete(Path.Combine(Data, "first-officer-key.txt"));
        await using var again = await OutOfProcessApp.StartAsync([("AGEWATCH_DATA", Data)]);
        Assert.False(File.Exists(Path.Combine(Data, "first-officer-key.txt")));
        using var client = again.WithKey(first.Trim());
        Assert.Equal(200, (int)(await client.GetAsync("/v1/keys", Stop)).StatusCode);
    }

    [Fact]
    public async Task A_key_of_ones_own_leaves_no_file()
    {
        var key = KeyText.New();
        var file = Path.Combine(_folder.FullName, "key");
        await File.WriteAllTextAsync(file, key + "\n", Stop);

        await using var server = await OutOfProcessApp.StartAsync([
            ("AGEWATCH_DATA", Data), ("AGEWATCH_FIRST_KEY_FILE", file)]);

        Assert.False(File.Exists(Path.Combine(Data, "first-officer-key.txt")));
        await using var db = OpenDatabase();
        Assert.Equal(KeyText.HashOf(key), db.AccessHashes.Single().Hash);
    }

    [Fact]
    public async Task A_crash_between_the_file_and_the_database_loses_no_key()
    {
        var key = KeyText.New();
        Directory.CreateDirectory(Data);
        await File.WriteAllTextAsync(Path.Combine(Data, "first-officer-key.txt"), key + "\n", Stop);

        await using var server = await OutOfProcessApp.StartAsync([("AGEWATCH_DATA", Data)]);

        await using var db = OpenDatabase();
        Assert.Equal(KeyText.HashOf(key), db.AccessHashes.Single().Hash);
    }

    [Fact]
    public async Task A_wrong_setting_stops_the_start_in_one_line()
    {
        var (code, errors) = await FailAsync(
            ("AGEWATCH_DATA", Data), ("AGEWATCH_ROLE", "everything"), ("AGEWATCH_COLOUR", "red"));

        Assert.Equal(1, code);
        Assert.Contains("AGEWATCH_COLOUR is not a setting", errors);
        Assert.DoesNotContain("   at ", errors);
        Assert.False(Directory.Exists(Data));
    }

    [Fact]
    public async Task A_database_that_is_not_there_stops_the_start_in_words()
    {
        var (code, errors) = await FailAsync(
            ("AGEWATCH_DATA", Data),
            ("AGEWATCH_DATABASE", "Host=127.0.0.1;Port=1;Username=u;Password=canary;Timeout=3"));

        Assert.Equal(1, code);
        Assert.Contains("AGEWATCH_DATABASE", errors);
        Assert.DoesNotContain("   at ", errors);
        Assert.DoesNotContain("canary", errors);
    }

    [Fact]
    public async Task An_address_that_is_taken_stops_the_start_in_words()
    {
        using TcpListener taken = new(IPAddress.Loopback, 0);
        taken.Start();

        var (code, errors) = await FailAsync(
            ("AGEWATCH_DATA", Data), ("AGEWATCH_URLS", $"http://127.0.0.1:{((IPEndPoint)taken.LocalEndpoint).Port}"));

        Assert.Equal(1, code);
        Assert.Contains("AGEWATCH_URLS: cannot listen there", errors);
    }

    [Fact]
    public async Task A_newer_schema_stops_the_start()
    {
        await using (await OutOfProcessApp.StartAsync([("AGEWATCH_DATA", Data)]))
        {
        }

        await using (var db = OpenDatabase())
        {
            await db.Database.ExecuteSqlRawAsync(
                "INSERT INTO \"__EFMigrationsHistory\" VALUES ('29990101000000_Later', '99')", Stop);
        }

        var (code, errors) = await FailAsync(("AGEWATCH_DATA", Data));

        Assert.Equal(1, code);
        Assert.Contains("29990101000000_Later", errors);
        Assert.DoesNotContain("   at ", errors);
    }

    [Fact]
    public async Task A_worker_answers_for_its_health_and_nothing_else()
    {
        await using var server = await OutOfProcessApp.StartAsync([
            ("AGEWATCH_DATA", Data), ("AGEWATCH_ROLE", "worker")]);
        using var client = server.WithKey();

        Assert.Equal(200, (int)(await client.GetAsync("/health/live", Stop)).StatusCode);
        Assert.Equal(200, (int)(await client.GetAsync("/health/ready", Stop)).StatusCode);
        Assert.Equal(404, (int)(await client.GetAsync("/openapi/v1.json", Stop)).StatusCode);
    }

    [Fact]
    public async Task Links_follow_the_public_address()
    {
        await using var server = await OutOfProcessApp.StartAsync([
            ("AGEWATCH_DATA", Data), ("AGEWATCH_PUBLIC_URL", "https://club.example/agewatch/")]);
        using var client = server.WithKey();

        foreach (var path in new[] { "/nowhere", "/agewatch/nowhere" })
        {
            var problem = await (await client.GetAsync(path, Stop)).Problem(404, "not-found");
            Assert.Equal("https://club.example/agewatch/problems/not-found", problem.GetProperty("type").GetString());
        }

        Assert.Contains(
            "https://club.example/agewatch", await client.GetStringAsync("/agewatch/openapi/v1.json", Stop));
    }

    [Fact]
    public async Task A_trusted_proxy_is_believed()
    {
        await using var server = await OutOfProcessApp.StartAsync([
            ("AGEWATCH_DATA", Data), ("AGEWATCH_TRUSTED_PROXIES", "127.0.0.0/8")]);
        using var client = server.WithKey();
        HttpRequestMessage request = new(HttpMethod.Get, "/nowhere");
        request.Headers.Add("X-Forwarded-Host", "club.example");
        request.Headers.Add("X-Forwarded-Proto", "https");

        var problem = await (await client.SendAsync(request, Stop)).Problem(404, "not-found");

        Assert.Equal("https://club.example/problems/not-found", problem.GetProperty("type").GetString());
    }

    private Storage.AgeWatchContext OpenDatabase() => TestDatabase.Open(
        Storage.DatabaseKind.Sqlite, Storage.Database.SqliteConnection(Path.Combine(Data, "agewatch.db")));

    private static async Task<(int Code, string Output)> FailAsync(params (string Name, string Value)[] settings)
    {
        await using var server = OutOfProcessApp.Launch(settings);
        return (await server.WaitForExitAsync(), server.Output);
    }
}
