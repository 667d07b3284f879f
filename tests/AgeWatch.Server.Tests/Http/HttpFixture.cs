using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;

namespace AgeWatch.Server.Tests.Http;

/// <summary>The real program on a real socket, with a data folder of its own and the sample routes beside its own.</summary>
public sealed class HttpFixture : IAsyncLifetime
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("agewatch-");
    private WebApplication? _app;

    public FakeTimeProvider Clock { get; } = new(new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));

    public HttpClient Anonymous { get; private set; } = null!;

    public HttpClient Officer { get; private set; } = null!;

    public string Key { get; private set; } = "";

    public IServiceProvider Services => _app!.Services;

    public async ValueTask InitializeAsync()
    {
        List<string> args = [$"--AgeWatch:Data={_folder.FullName}", "--AgeWatch:Urls=http://127.0.0.1:0", "--AgeWatch:LogLevel=error"];
        if (Environment.GetEnvironmentVariable("TEST_POSTGRES") is { Length: > 0 } server)
        {
            args.Add($"--AgeWatch:Database={server};Database=http_{Guid.NewGuid():N}");
        }

        _app = Program.Build(
            [.. args],
            services => services.AddSingleton<TimeProvider>(Clock),
            v1 =>
            {
                v1.MapSamples();
                v1.MapEcho();
            });
        await Program.PrepareAsync(_app);
        await _app.StartAsync();
        Key = (await File.ReadAllTextAsync(Path.Combine(_folder.FullName, "first-officer-key.txt"))).Trim();
        Anonymous = new() { BaseAddress = new(_app.Urls.First()) };
        Officer = WithKey(Key);
    }

    public async ValueTask DisposeAsync()
    {
        Anonymous.Dispose();
        Officer.Dispose();
        await _app!.DisposeAsync();
        _folder.Delete(recursive: true);
    }

    public HttpClient WithKey(string key) => new()
    {
        BaseAddress = Anonymous.BaseAddress,
        DefaultRequestHeaders = { Authorization = new AuthenticationHeaderValue("Bearer", key) },
    };

    internal async Task InDatabase(Func<AgeWatchContext, Task> work)
    {
        await using var scope = Services.CreateAsyncScope();
        await work(scope.ServiceProvider.GetRequiredService<AgeWatchContext>());
    }
}

internal static class HttpTestExtensions
{
    public static StringContent Json(this string json, string mediaType = "application/json") =>
        new(json, Encoding.UTF8, mediaType);

    public static Task<HttpResponseMessage> Ask(
        this HttpClient client, HttpMethod method, string path, string? json = null, string? ifMatch = null, string? ifNoneMatch = null)
    {
        HttpRequestMessage request = new(method, path);
        if (json is not null)
        {
            request.Content = json.Json(method == HttpMethod.Patch ? "application/merge-patch+json" : "application/json");
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
        using var document = JsonDocument.Parse(await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        return document.RootElement.Clone();
    }

    /// <summary>Holds every problem to RFC 9457: media type, and a status member equal to the real status (section 3.1.2).</summary>
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
