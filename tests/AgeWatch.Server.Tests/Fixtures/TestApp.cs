using System.Net.Http.Headers;
using System.Text.Json;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>The real program in this process: a real socket, a real database, a clock that the test moves.</summary>
public sealed class TestApp : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly TestDatabase? _ownDatabase;

    private TestApp(WebApplication app, TestDatabase database, bool owns, FakeTimeProvider clock, string key)
    {
        _app = app;
        _ownDatabase = owns ? database : null;
        Database = database;
        Clock = clock;
        Key = key;
        Anonymous = new() { BaseAddress = new(app.Urls.First()) };
        Officer = WithKey(key);
    }

    public TestDatabase Database { get; }

    public FakeTimeProvider Clock { get; }

    /// <summary>The first officer's key.</summary>
    public string Key { get; }

    public HttpClient Officer { get; }

    public HttpClient Anonymous { get; }

    public IServiceProvider Services => _app.Services;

    /// <summary>On a database of its own. The day is 25 November 2026, noon UTC, unless the clock given says
    /// otherwise.</summary>
    public static async Task<TestApp> StartAsync(
        DatabaseKind kind, FakeTimeProvider? clock = null, params (string Name, string Value)[] settings) =>
        await StartAsync(await TestDatabase.CreateAsync(kind), owns: true, clock, NewKey(), settings, adjust: null);

    /// <summary>On a database that another server may work on too; it stays when this one goes.</summary>
    /// <param name="key">The officer's key of the server that came first; null when this is the first.</param>
    public static Task<TestApp> StartAsync(
        TestDatabase database, FakeTimeProvider? clock = null, string? key = null,
        params (string Name, string Value)[] settings) =>
        StartAsync(database, owns: false, clock, key ?? NewKey(), settings, adjust: null);

    /// <summary>With services of the test's own in place of the program's.</summary>
    public static async Task<TestApp> StartWithAsync(
        DatabaseKind kind, Action<IServiceCollection> adjust, FakeTimeProvider? clock = null,
        params (string Name, string Value)[] settings) =>
        await StartAsync(await TestDatabase.CreateAsync(kind), owns: true, clock, NewKey(), settings, adjust);

    public HttpClient WithKey(string key) => new()
    {
        BaseAddress = Anonymous.BaseAddress,
        DefaultRequestHeaders = { Authorization = new AuthenticationHeaderValue("Bearer", key) },
    };

    /// <summary>Runs work with services of one request of the first club, <see cref="AgeWatchContext"/> among
    /// them.</summary>
    public async Task<T> InScopeAsync<T>(Func<IServiceProvider, Task<T>> work)
    {
        await using var scope = Services.CreateAsyncScope();
        scope.ServiceProvider.GetRequiredService<AgeWatchContext>().EnterFirstClub();
        return await work(scope.ServiceProvider);
    }

    /// <summary>Makes something and gives its id; what was not made says why.</summary>
    public async Task<Guid> GivenAsync(string path, object body)
    {
        var response = await Officer.Ask(
            HttpMethod.Post, path, JsonSerializer.Serialize(body, JsonSerializerOptions.Web));
        Assert.True(
            response.IsSuccessStatusCode,
            $"POST {path}: {(int)response.StatusCode} {await response.Content.ReadAsStringAsync()}");
        return (await response.Json()).GetProperty("id").GetGuid();
    }

    public Task<Guid> GivenMemberAsync(string name, string? email = null) =>
        GivenAsync("/v1/members", new { name, email });

    /// <param name="built">A day, a month or a year; null: not known.</param>
    public Task<Guid> GivenVehicleAsync(
        string? built = "1987-05", string unit = "mi", string country = "GB", Guid? memberId = null,
        string name = "Test car") =>
        GivenAsync("/v1/vehicles", new { name, distanceUnit = unit, built, country, memberId });

    public Task<Guid> GivenReadingAsync(Guid vehicleId, string on, decimal value, string unit = "mi") =>
        GivenAsync($"/v1/vehicles/{vehicleId}/odometer-readings", new { on, value, unit });

    /// <summary>A client with a new key of that role.</summary>
    public async Task<HttpClient> GivenKeyAsync(string role, Guid? memberId = null)
    {
        var response = await Officer.Ask(
            HttpMethod.Post, "/v1/keys",
            JsonSerializer.Serialize(new { name = role, role, memberId }, JsonSerializerOptions.Web));
        Assert.Equal(201, (int)response.StatusCode);
        return WithKey((await response.Json()).GetProperty("key").GetString()!);
    }

    public async ValueTask DisposeAsync()
    {
        Anonymous.Dispose();
        Officer.Dispose();
        await _app.DisposeAsync();
        if (_ownDatabase is not null)
        {
            await _ownDatabase.DisposeAsync();
        }
    }

    internal static string[] Arguments(IEnumerable<(string Name, string Value)> settings) =>
        [.. settings.Select(setting => $"--{Setting.KeyOf(setting.Name)}={setting.Value}")];

    private static string NewKey() => KeyText.New();

    private static async Task<TestApp> StartAsync(
        TestDatabase database, bool owns, FakeTimeProvider? clock, string key, (string Name, string Value)[] settings,
        Action<IServiceCollection>? adjust)
    {
        clock ??= new(new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));
        var app = Program.Build(
            Arguments([
                ("AGEWATCH_URLS", "http://127.0.0.1:0"), ("AGEWATCH_LOG_LEVEL", "error"), ("AGEWATCH_FIRST_KEY", key),
                .. database.Settings, .. settings]),
            services =>
            {
                services.AddSingleton<TimeProvider>(clock);
                adjust?.Invoke(services);
            });
        await Program.PrepareAsync(app);
        await app.StartAsync();
        return new(app, database, owns, clock, key);
    }
}
