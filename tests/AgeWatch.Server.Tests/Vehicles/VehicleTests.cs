using System.Net;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Vehicles;

public sealed class VehicleTests
{
    [Theory, OnBothDatabases]
    public async Task A_vehicle_is_made_read_listed_changed_and_removed(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var member = await app.GivenMemberAsync("Tilda", "tilda@farrow.example");
        var id = await app.GivenVehicleAsync("1987-05", memberId: member);
        await app.GivenVehicleAsync("1991");

        var read = await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{id}");
        Assert.Equal("1987-05", (await read.Json()).GetProperty("built").GetString());
        Assert.Equal(
            HttpStatusCode.NotModified,
            (await app.Officer.Ask(
                HttpMethod.Get, $"/v1/vehicles/{id}", ifNoneMatch: read.Headers.ETag!.ToString())).StatusCode);

        var first = await (await app.Officer.Ask(HttpMethod.Get, "/v1/vehicles?limit=1")).Json();
        Assert.Equal(1, first.GetProperty("items").GetArrayLength());
        var second = await (await app.Officer.Ask(HttpMethod.Get, first.GetProperty("next").GetString()!)).Json();
        Assert.Equal(1, second.GetProperty("items").GetArrayLength());
        Assert.False(second.TryGetProperty("next", out _));

        Assert.Equal(428, (int)(await app.Officer.Ask(HttpMethod.Patch, $"/v1/vehicles/{id}", """{"built":"1986"}""")).StatusCode);
        var changed = await app.Officer.Ask(HttpMethod.Patch, $"/v1/vehicles/{id}", """{"built":"1986"}""", ifMatch: read.Headers.ETag!.ToString());
        Assert.Equal("1986", (await changed.Json()).GetProperty("built").GetString());
        Assert.Equal(412, (int)(await app.Officer.Ask(HttpMethod.Patch, $"/v1/vehicles/{id}", """{"built":"1985"}""", ifMatch: read.Headers.ETag!.ToString())).StatusCode);

        Assert.Equal(
            409, (int)(await app.Officer.Ask(HttpMethod.Delete, $"/v1/members/{member}", ifMatch: "*")).StatusCode);
        Assert.Equal(
            204,
            (int)(await app.Officer.Ask(
                HttpMethod.Delete, $"/v1/vehicles/{id}", ifMatch: changed.Headers.ETag!.ToString())).StatusCode);
        Assert.Equal(404, (int)(await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{id}")).StatusCode);
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, $"/v1/members/{member}", ifMatch: "*")).StatusCode);
    }

    /// <summary>Design rule: unknown is never good, and an empty list is the least that can be known.</summary>
    [Theory, OnBothDatabases]
    public async Task A_vehicle_of_which_nothing_is_written_down_does_not_look_sound(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var id = await app.GivenVehicleAsync();

        var due = await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{id}/due")).Json();

        Assert.Empty(due.GetProperty("items").EnumerateArray());
        Assert.Contains(due.GetProperty("notRecorded").EnumerateArray(), n =>
            n.GetProperty("partKind").GetString() == "brake-hose-flexible");
    }

    [Theory, OnBothDatabases]
    public async Task A_reading_that_cannot_be_on_the_drums_is_refused_and_a_good_one_is_kept(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var vehicle = await app.GivenVehicleAsync();
        var path = $"/v1/vehicles/{vehicle}/odometer-readings";

        await RefusedAsync(app, path, """{"on":"2026-05-01","value":68900,"unit":"km"}""", "#/unit");
        await RefusedAsync(app, path, """{"on":"2026-05-01","value":1000000,"unit":"mi"}""", "#/value");
        await RefusedAsync(app, path, """{"on":"2026-12-01","value":68900,"unit":"mi"}""", "#/on");
        await RefusedAsync(app, path, """{"on":"2026-05-01","value":68900,"unit":"mi","instrument":"none such"}""", "#/instrument");

        var reading = await app.GivenReadingAsync(vehicle, "2026-05-01", 68900.4m);
        var changed = await app.Officer.Ask(HttpMethod.Patch, $"{path}/{reading}", """{"value":68901}""", ifMatch: "*");
        Assert.Equal(68901m, (await changed.Json()).GetProperty("value").GetDecimal());
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, $"{path}/{reading}", ifMatch: "*")).StatusCode);
        Assert.Empty((await (await app.Officer.Ask(HttpMethod.Get, path)).Json())
            .GetProperty("items")
            .EnumerateArray());
    }

    [Theory, OnBothDatabases]
    public async Task A_new_key_opens_what_its_role_allows_until_it_is_revoked(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var made = await (await app.Officer.Ask(HttpMethod.Post, "/v1/keys", """{"name":"sheet","role":"reader"}""")).Json();
        using var reader = app.WithKey(made.GetProperty("key").GetString()!);
        var id = made.GetProperty("details").GetProperty("id").GetGuid();

        Assert.Equal(200, (int)(await reader.Ask(HttpMethod.Get, "/v1/vehicles")).StatusCode);
        Assert.Equal(403, (int)(await reader.Ask(HttpMethod.Post, "/v1/vehicles", """{"name":"x","distanceUnit":"mi"}""")).StatusCode);
        Assert.Equal(403, (int)(await reader.Ask(HttpMethod.Get, "/v1/members")).StatusCode);
        Assert.Equal(204, (int)(await app.Officer.Ask(HttpMethod.Delete, $"/v1/keys/{id}", ifMatch: "*")).StatusCode);
        Assert.Equal(401, (int)(await reader.Ask(HttpMethod.Get, "/v1/vehicles")).StatusCode);
    }

    private static async Task RefusedAsync(TestApp app, string path, string body, string at)
    {
        var response = await app.Officer.Ask(HttpMethod.Post, path, body);
        Assert.Equal(422, (int)response.StatusCode);
        Assert.Equal(at, (await response.Json()).GetProperty("errors")[0].GetProperty("pointer").GetString());
    }
}
