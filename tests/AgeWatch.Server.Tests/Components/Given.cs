using System.Text.Json;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Components;

/// <summary>What the tests of parts and service tasks need to say shortly.</summary>
internal static class Given
{
    public static Task<HttpResponseMessage> Post(this TestApp app, string path, object body) =>
        app.Officer.Ask(HttpMethod.Post, path, JsonSerializer.Serialize(body, JsonSerializerOptions.Web));

    public static async Task<JsonElement> PostOk(this TestApp app, string path, object body, int status = 201)
    {
        var response = await app.Post(path, body);
        Assert.True(
            (int)response.StatusCode == status,
            $"POST {path}: {(int)response.StatusCode} {await response.Content.ReadAsStringAsync()}");
        return await response.Json();
    }

    public static async Task<JsonElement> Read(this TestApp app, string path)
    {
        var response = await app.Officer.Ask(HttpMethod.Get, path);
        Assert.True((int)response.StatusCode == 200, $"GET {path}: {(int)response.StatusCode}");
        return await response.Json();
    }

    public static async Task<string> Tag(this TestApp app, string path) =>
        (await app.Officer.Ask(HttpMethod.Get, path)).Headers.ETag!.ToString();

    public static async Task<HttpResponseMessage> Patch(this TestApp app, string path, object change) =>
        await app.Officer.Ask(
            HttpMethod.Patch, path, JsonSerializer.Serialize(change, JsonSerializerOptions.Web), await app.Tag(path));

    public static async Task<Guid> GivenComponent(
        this TestApp app, Guid vehicleId, string partKind = "radiator-hose", params object[] evidence) =>
        (await app.PostOk($"/v1/vehicles/{vehicleId}/components", new { partKind, evidence })).Id();

    public static async Task<Guid> GivenSpare(this TestApp app, string partKind = "radiator-hose") =>
        (await app.PostOk("/v1/shelf", new { partKind })).Id();

    public static async Task<Guid> GivenServiceTask(this TestApp app, Guid vehicleId, string partKind = "engine-oil") =>
        (await app.PostOk($"/v1/vehicles/{vehicleId}/service-tasks", new { partKind })).Id();

    /// <summary>The path of a part or a service task that may be deferred.</summary>
    /// <param name="under">components or service-tasks.</param>
    public static async Task<string> GivenSubject(this TestApp app, string under)
    {
        var car = await app.GivenVehicleAsync();
        return $"/v1/{under}/{(under == "components" ? await app.GivenComponent(car) : await app.GivenServiceTask(car))}";
    }

    /// <summary>An officer of another club on the same server.</summary>
    public static async Task<HttpClient> GivenForeigner(this TestApp app)
    {
        var key = KeyText.New();
        await app.InScopeAsync(async services =>
        {
            var db = services.GetRequiredService<AgeWatchContext>();
            var now = app.Clock.GetUtcNow().UtcDateTime;
            Club club = new()
            {
                ClubId = Guid.CreateVersion7(),
                Name = "Another club",
                TimeZone = "Etc/UTC",
                CreatedAt = now
            };
            Key officer = new()
            {
                ClubId = club.ClubId,
                Id = Guid.CreateVersion7(),
                Role = KeyRole.Officer,
                Name = "Officer",
                LastFour = key[^4..],
                CreatedAt = now
            };
            db.EnterClub(club.ClubId);
            db.AddRange(
                club, officer,
                new AccessHash
                {
                    Hash = KeyText.HashOf(key),
                    Kind = AccessKind.Key,
                    ClubId = club.ClubId,
                    TargetId = officer.Id
                });
            return await db.SaveChangesAsync();
        });
        return app.WithKey(key);
    }

    public static Guid Id(this JsonElement json) => json.GetProperty("id").GetGuid();

    public static string? Text(this JsonElement json, params string[] path) =>
        path.Aggregate(json, (at, name) => at.GetProperty(name)) is { ValueKind: not JsonValueKind.Null } found
            ? found.ToString()
            : null;

    public static IReadOnlyList<JsonElement> Items(this JsonElement page) =>
        [.. page.GetProperty("items").EnumerateArray()];

    public static object Mi(decimal value) => new { value, unit = "mi" };
}
