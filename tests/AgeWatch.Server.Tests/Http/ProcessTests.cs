using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using AgeWatch.Server.Http;

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
        await using var server = await Running.Start(("AGEWATCH_DATA", Data), ("AGEWATCH_LOG", form), ("AGEWATCH_LOG_LEVEL", "debug"));
        var key = (await File.ReadAllTextAsync(Path.Combine(Data, "first-officer-key.txt"), Stop)).Trim();
        using HttpClient client = new() { BaseAddress = server.Address };
        client.DefaultRequestHeaders.Authorization = new("Bearer", key);

        foreach (var path in new[]
        {
            $"/v1/nowhere?key={key}",
            $"/v1/{key}",
            "/v1/feeds/canary-token-in-path.ics",
            "/v1/nowhere?email=canary.person@club.example",
            "/v1/canary.person%40club.example",
            "/u/canary-token-unsubscribe",
        })
        {
            var response = await client.GetAsync(path, Stop);
            Assert.Equal(404, (int)response.StatusCode);
            Assert.DoesNotContain("canary-token", await response.Content.ReadAsStringAsync(Stop));
        }

        var log = await server.StopAsync();
        Assert.Contains("404", log);
        Assert.DoesNotContain(key, log);
        Assert.DoesNotContain(key[4..], log);
        Assert.DoesNotContain("canary", log);
        if (form == "json")
        {
            Assert.All(log.Split('\n', StringSplitOptions.RemoveEmptyEntries), line => JsonDocument.Parse(line).Dispose());
        }
    }

    [Fact]
    public async Task The_first_start_leaves_a_key_that_only_its_owner_can_read()
    {
        string first;
        await using (var server = await Running.Start(("AGEWATCH_DATA", Data)))
        {
            first = await File.ReadAllTextAsync(Path.Combine(Data, "first-officer-key.txt"), Stop);
            await server.StopAsync();
            Assert.Equal(0, server.ExitCode);
        }

        Assert.Matches("^agw_[0-9a-f]{64}\n$", first);
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Path.Combine(Data, "first-officer-key.txt")));
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(Data));
        }

        // Taken away and started again: no second key is made.
        File.Delete(Path.Combine(Data, "first-officer-key.txt"));
        await using var again = await Running.Start(("AGEWATCH_DATA", Data));
        Assert.False(File.Exists(Path.Combine(Data, "first-officer-key.txt")));
        using HttpClient client = new() { BaseAddress = again.Address };
        client.DefaultRequestHeaders.Authorization = new("Bearer", first.Trim());
        Assert.Equal(404, (int)(await client.GetAsync("/v1/nowhere", Stop)).StatusCode);
    }

    [Fact]
    public async Task A_key_of_ones_own_leaves_no_file()
    {
        var key = KeyText.New();
        var file = Path.Combine(_folder.FullName, "key");
        await File.WriteAllTextAsync(file, key + "\n", Stop);

        await using var server = await Running.Start(("AGEWATCH_DATA", Data), ("AGEWATCH_FIRST_KEY_FILE", file));

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

        await using var server = await Running.Start(("AGEWATCH_DATA", Data));

        await using var db = OpenDatabase();
        Assert.Equal(KeyText.HashOf(key), db.AccessHashes.Single().Hash);
    }

    [Fact]
    public async Task Four_starts_at_once_make_one_club_and_one_key()
    {
        var servers = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => Running.Start(("AGEWATCH_DATA", Data))));

        await using var db = OpenDatabase();
        Assert.Equal((1, 1, 1), (db.Clubs.Count(), db.Keys.Count(), db.AccessHashes.Count()));
        Assert.Equal(
            KeyText.HashOf((await File.ReadAllTextAsync(Path.Combine(Data, "first-officer-key.txt"), Stop)).Trim()),
            db.AccessHashes.Single().Hash);
        foreach (var server in servers)
        {
            await server.DisposeAsync();
        }
    }

    [Fact]
    public async Task A_wrong_setting_stops_the_start_in_one_line()
    {
        var (code, errors) = await Running.Fail(("AGEWATCH_DATA", Data), ("AGEWATCH_ROLE", "everything"), ("AGEWATCH_COLOUR", "red"));

        Assert.Equal(1, code);
        Assert.Contains("AGEWATCH_COLOUR is not a setting", errors);
        Assert.DoesNotContain("   at ", errors);
        Assert.False(Directory.Exists(Data));
    }

    [Fact]
    public async Task A_newer_schema_stops_the_start()
    {
        await using (await Running.Start(("AGEWATCH_DATA", Data)))
        {
        }

        await using (var db = OpenDatabase())
        {
            await Microsoft.EntityFrameworkCore.RelationalDatabaseFacadeExtensions.ExecuteSqlRawAsync(
                db.Database, "INSERT INTO \"__EFMigrationsHistory\" VALUES ('29990101000000_Later', '99')", Stop);
        }

        var (code, errors) = await Running.Fail(("AGEWATCH_DATA", Data));

        Assert.Equal(1, code);
        Assert.Contains("29990101000000_Later", errors);
        Assert.DoesNotContain("   at ", errors);
    }

    [Fact]
    public async Task A_worker_answers_for_its_health_and_nothing_else()
    {
        await using var server = await Running.Start(("AGEWATCH_DATA", Data), ("AGEWATCH_ROLE", "worker"));
        using HttpClient client = new() { BaseAddress = server.Address };

        Assert.Equal(200, (int)(await client.GetAsync("/health/live", Stop)).StatusCode);
        Assert.Equal(200, (int)(await client.GetAsync("/health/ready", Stop)).StatusCode);
        Assert.Equal(404, (int)(await client.GetAsync("/openapi/v1.json", Stop)).StatusCode);
    }

    [Fact]
    public async Task Links_follow_the_public_address()
    {
        await using var server = await Running.Start(("AGEWATCH_DATA", Data), ("AGEWATCH_PUBLIC_URL", "https://club.example/agewatch/"));
        using HttpClient client = new() { BaseAddress = server.Address };

        foreach (var path in new[] { "/nowhere", "/agewatch/nowhere" })
        {
            var problem = await (await client.GetAsync(path, Stop)).Problem(404, "not-found");
            Assert.Equal("https://club.example/agewatch/problems/not-found", problem.GetProperty("type").GetString());
        }

        Assert.Contains("https://club.example/agewatch", await client.GetStringAsync("/agewatch/openapi/v1.json", Stop));
    }

    [Fact]
    public async Task A_trusted_proxy_is_believed()
    {
        await using var server = await Running.Start(("AGEWATCH_DATA", Data), ("AGEWATCH_TRUSTED_PROXIES", "127.0.0.0/8"));
        using HttpClient client = new() { BaseAddress = server.Address };
        HttpRequestMessage request = new(HttpMethod.Get, "/nowhere");
        request.Headers.Add("X-Forwarded-Host", "club.example");
        request.Headers.Add("X-Forwarded-Proto", "https");

        var problem = await (await client.SendAsync(request, Stop)).Problem(404, "not-found");

        Assert.Equal("https://club.example/problems/not-found", problem.GetProperty("type").GetString());
    }

    private Storage.AgeWatchContext OpenDatabase()
    {
        Microsoft.EntityFrameworkCore.DbContextOptionsBuilder<Storage.AgeWatchContext> options = new();
        Storage.Database.UseAgeWatch(options, Storage.DatabaseKind.Sqlite, Storage.Database.SqliteConnection(Path.Combine(Data, "agewatch.db")));
        return new(options.Options);
    }

    private sealed class Running : IAsyncDisposable
    {
        private readonly Process _process;
        private readonly Task<string> _output;
        private readonly Task<string> _errors;

        private Running(int port, params (string Name, string Value)[] variables)
        {
            Address = new($"http://127.0.0.1:{port}");
            ProcessStartInfo start = new("dotnet", [typeof(Program).Assembly.Location, "--AgeWatch:Urls=" + Address])
            {
                RedirectStandardOutput = true,
                RedirectStandardError = true,
                WorkingDirectory = Path.GetTempPath(),
            };
            foreach (var (name, value) in variables)
            {
                start.Environment[name] = value;
            }

            _process = Process.Start(start)!;
            _output = _process.StandardOutput.ReadToEndAsync(Stop);
            _errors = _process.StandardError.ReadToEndAsync(Stop);
        }

        public Uri Address { get; }

        public int ExitCode => _process.ExitCode;

        public static async Task<Running> Start(params (string Name, string Value)[] variables)
        {
            Running server = new(FreePort(), variables);
            using HttpClient client = new() { BaseAddress = server.Address };
            for (var started = Stopwatch.StartNew(); started.Elapsed < TimeSpan.FromSeconds(90); await Task.Delay(50, Stop))
            {
                if (server._process.HasExited)
                {
                    break;
                }

                try
                {
                    if ((await client.GetAsync("/health/ready", Stop)).StatusCode == HttpStatusCode.OK)
                    {
                        return server;
                    }
                }
                catch (HttpRequestException)
                {
                    // Not listening yet.
                }
            }

            throw new InvalidOperationException($"The server did not start: {await server.StopAsync()} {await server._errors}");
        }

        public static async Task<(int Code, string Errors)> Fail(params (string Name, string Value)[] variables)
        {
            await using Running server = new(FreePort(), variables);
            await server._process.WaitForExitAsync(Stop);
            return (server.ExitCode, await server._errors);
        }

        /// <summary>Asks it to end as a service manager does, and gives what it wrote.</summary>
        public async Task<string> StopAsync()
        {
            if (!_process.HasExited)
            {
                using var kill = Process.Start("kill", ["-TERM", $"{_process.Id}"]);
                await _process.WaitForExitAsync(Stop);
            }

            return await _output;
        }

        public async ValueTask DisposeAsync()
        {
            await StopAsync();
            _process.Dispose();
        }

        private static int FreePort()
        {
            using TcpListener listener = new(IPAddress.Loopback, 0);
            listener.Start();
            return ((IPEndPoint)listener.LocalEndpoint).Port;
        }
    }
}
