using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using Xunit.Sdk;

namespace AgeWatch.Server.Tests.Http;

/// <summary>The real program on a real socket, with a database of its own and the sample routes beside its
/// own.</summary>
public abstract class HttpFixture(DatabaseKind kind) : IAsyncLifetime
{
    private TestDatabase? _database;
    private WebApplication? _app;
    private string? _whyNot;

    public FakeTimeProvider Clock { get; } = new(new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));

    public HttpClient Anonymous { get; private set; } = null!;

    public HttpClient Officer { get; private set; } = null!;

    public string Key { get; } = KeyText.New();

    public IServiceProvider Services => _app!.Services;

    public async ValueTask InitializeAsync()
    {
        try
        {
            _database = await TestDatabase.CreateAsync(kind);
        }
        catch (SkipException skipped)
        {
            // A fixture cannot skip; each of its tests can.
            _whyNot = skipped.Message;
            return;
        }

        _app = Program.Build(
            TestApp.Arguments([
                ("AGEWATCH_URLS", "http://127.0.0.1:0"), ("AGEWATCH_LOG_LEVEL", "error"), ("AGEWATCH_FIRST_KEY", Key),
                .. _database.Settings]),
            services => services.AddSingleton<TimeProvider>(Clock),
            v1 =>
            {
                v1.MapSamples();
                v1.MapEcho();
            });
        await Program.PrepareAsync(_app);
        await _app.StartAsync();
        Anonymous = new() { BaseAddress = new(_app.Urls.First()) };
        Officer = WithKey(Key);
    }

    public async ValueTask DisposeAsync()
    {
        GC.SuppressFinalize(this);
        if (_app is not null)
        {
            Anonymous.Dispose();
            Officer.Dispose();
            await _app.DisposeAsync();
        }

        if (_database is not null)
        {
            await _database.DisposeAsync();
        }
    }

    public void SkipWhenMissing() => Assert.SkipWhen(_whyNot is not null, _whyNot ?? "");

    public HttpClient WithKey(string key) => new()
    {
        BaseAddress = Anonymous.BaseAddress,
        DefaultRequestHeaders = { Authorization = new AuthenticationHeaderValue("Bearer", key) },
    };

    internal async Task InDatabase(Func<AgeWatchContext, Task> work)
    {
        await using var scope = Services.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        db.EnterFirstClub();
        await work(db);
    }
}

public sealed class SqliteHttp() : HttpFixture(DatabaseKind.Sqlite);

public sealed class PostgresHttp() : HttpFixture(DatabaseKind.Postgres);

internal static class HttpTestExtensions
{
    public static StringContent Json(this string json, string mediaType = "application/json") =>
        new(json, Encoding.UTF8, mediaType);

    public static Task<HttpResponseMessage> Ask(
        this HttpClient client, HttpMethod method, string path, string? json = null, string? ifMatch = null,
        string? ifNoneMatch = null)
    {
        HttpRequestMessage request = new(method, path);
        if (json is not null)
        {
            request.Content = json.Json(method == HttpMethod.Patch
                ? "application/merge-patch+json"
                : "application/json");
        }

        if (ifMatch is not null)
        {
            request.Headers.TryAddWithoutValidation("If-Match", ifMatch);
        }

        if (ifNoneMatch is not null)
        {
            request.Headers.TryAddWithoutValidation("If-None-Match", ifNoneMatch);
        }

        return client.SendAsync(request, TestContext.Current.CancellationToken);
    }

    public static async Task<JsonElement> Json(this HttpResponseMessage response)
    {
        using var document = JsonDocument.Parse(
            await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        return document.RootElement.Clone();
    }

    /// <summary>Holds every problem to RFC 9457: media type, and a status member equal to the real status (section
    /// 3.1.2).</summary>
    public static async Task<JsonElement> Problem(this HttpResponseMessage response, int status, string type)
    {
        Assert.Equal(status, (int)response.StatusCode);
        Assert.Equal("application/problem+json", response.Content.Headers.ContentType?.MediaType);
        var problem = await response.Json();
        Assert.Equal(status, problem.GetProperty("status").GetInt32());
        Assert.EndsWith($"/problems/{type}", problem.GetProperty("type").GetString());
        Assert.True(Uri.IsWellFormedUriString(problem.GetProperty("type").GetString(), UriKind.Absolute));
        Assert.NotEmpty(problem.GetProperty("title").GetString()!);
        Assert.NotEmpty(problem.GetProperty("detail").GetString()!);
        Assert.StartsWith("/", problem.GetProperty("instance").GetString());
        Assert.Equal(response.Headers.GetValues("X-Request-Id").Single(), problem.GetProperty("traceId").GetString());
        Assert.Equal("no-store", response.Headers.CacheControl?.ToString());
        return problem;
    }

    public static IEnumerable<(string Where, string Code)> Errors(this JsonElement problem) =>
        problem.GetProperty("errors").EnumerateArray().Select(error => (
            (error.TryGetProperty("pointer", out var pointer) ? pointer : error.GetProperty("parameter")).GetString()!,
            error.GetProperty("code").GetString()!));
}
