using System.Text.Json;
using System.Text.RegularExpressions;
using AgeWatch.Server.Demo;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using MimeKit;

namespace AgeWatch.Server.Tests.Due;

/// <summary>
/// Whatever shows a club's parts shows them in the order of <c>GET /v1/due</c>, which <see cref="DueListTests"/> holds
/// against the rule. Each part has a place of its own by which it is found in any text.
/// </summary>
public sealed partial class OneOrderTests
{
    private static readonly string[] Fitted = ["2026-09-01", "2019-03-01", "2022-06-01", "2025-01-15"];

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Every_form_of_a_list_has_the_one_order(DatabaseKind kind)
    {
        await using var app = await GivenAsync(kind);
        var car = await CarAsync(app);
        var expected = await ClubAsync(app, "/v1/due?limit=500");
        Assert.Equal(24, expected.Count);

        var feed = await (await app.Officer.Ask(HttpMethod.Post, "/v1/feeds", """{"name":"All"}""")).Json();
        string[] feeds = ["calendar", "json", "csv", "lines"];
        foreach (var address in feed.EnumerateObject().Where(member => member.Value.ValueKind == JsonValueKind.String))
        {
            var path = new Uri(address.Value.GetString()!).AbsolutePath;
            Assert.Equal(expected, Places(await app.Anonymous.GetStringAsync(path, Stop)));
            feeds = [.. feeds.Skip(1)];
        }

        Assert.Empty(feeds);
        foreach (var form in new[] { "json", "html", "csv" })
        {
            Assert.Equal(
                expected,
                Places(await app.Officer.GetStringAsync($"/v1/vehicles/{car}/status-list?format={form}", Stop)));
        }

        Assert.Equal(expected, await ClubAsync(app, $"/v1/vehicles/{car}/due"));
    }

    /// <summary>A digest sets the unknown apart; within each of the two the order is the one.</summary>
    [Theory, OnBothDatabases]
    public async Task A_digest_and_its_page_have_the_one_order(DatabaseKind kind)
    {
        await using var app = await GivenAsync(kind);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        Assert.Equal([GivenNights.FirstNight], await app.MinuteAsync());
        var open = await ClubAsync(app, "/v1/due?limit=500", state => state != "in-life");
        var unknown = await ClubAsync(app, "/v1/due?limit=500", state => state == "unknown");

        await using var db = app.Database.Open();
        var digest = await db.Digests.AsNoTracking().SingleAsync(d => d.Kind == DigestKind.Member, Stop);
        using var mail = await MimeMessage.LoadAsync(new MemoryStream(digest.Message), Stop);
        var told = Places(mail.TextBody);
        Assert.True(told.Count > 5, mail.TextBody);
        string[] apart = [.. open.Except(unknown).Where(told.Contains), .. unknown.Where(told.Contains)];
        Assert.Equal(apart, told);
        Assert.Equal(apart, Places(mail.HtmlBody));

        var notices = (await (await app.Officer.Ask(HttpMethod.Get, $"/v1/digests/{digest.Id}")).Json())
            .GetProperty("lines")
            .EnumerateArray()
            .Select(line => line.GetProperty("subjectId").GetGuid())
            .ToList();
        var places = await db.Components.ToDictionaryAsync(c => c.Id, c => c.Position!, Stop);
        Assert.Equal(apart, notices.Select(id => places[id]));

        var link = Link().Matches(mail.TextBody!).Select(match => new Uri(match.Value).AbsolutePath).Last();
        Assert.Equal(open, Places(await app.Anonymous.GetStringAsync(new Uri(link, UriKind.Relative), Stop)));
    }

    /// <summary>The summary names no place, so its lines are compared by what they say.</summary>
    [Fact]
    public async Task The_summary_of_the_demo_begins_with_the_worst()
    {
        await using var app = await GivenAsync(DatabaseKind.Sqlite);
        using StringWriter said = new();
        await app.InScopeAsync(async services =>
        {
            var db = services.GetRequiredService<AgeWatchContext>();
            db.EnterClub(await app.Database.ClubIdAsync());
            await new DemoSummary(db).WriteAsync(said, new(2026, 11, 25), "mail", Stop);
            return true;
        });

        var worst = (await (await app.Officer.Ask(HttpMethod.Get, "/v1/due?limit=5")).Json()).GetProperty("items")
            .EnumerateArray()
            .Select(item => $"{item.Text("state")} ({item.Text("certainty")})"
                + (item.TryGetProperty("dueEarliest", out var day) ? $", since {day}" : ""));
        Assert.Equal(worst, said.ToString().Split("The worst five:")[1].Split('\n')
            .Where(line => line.Contains("Long car", StringComparison.Ordinal))
            .Select(line => line.Trim().Split(':')[0]));
    }

    private static async Task<TestApp> GivenAsync(DatabaseKind kind)
    {
        var app = await TestApp.StartAsync(
            kind, null, GivenNights.Idle, ("AGEWATCH_PUBLIC_URL", "https://club.example"));
        var owner = await app.GivenMemberAsync("Owner", "owner@club.example");
        var car = await app.GivenAsync(
            "/v1/vehicles", new { name = "Long car", distanceUnit = "mi", built = "1987-05", memberId = owner });
        var number = 0;
        string[] kinds = ["timing-belt", "brake-hose-flexible", "v-belt", "tyre-road", "engine-mounts", "ac-hose"];
        foreach (var fitted in Fitted)
        {
            foreach (var partKind in kinds)
            {
                await app.GivenAsync($"/v1/vehicles/{car}/components", new
                {
                    partKind,
                    original = false,
                    position = $"place-{++number:00}",
                    evidence = new[] { new { kind = "fitted", on = fitted } },
                });
            }
        }

        return app;
    }

    private static async Task<Guid> CarAsync(TestApp app)
    {
        await using var db = app.Database.Open();
        return await db.Vehicles.Select(v => v.Id).SingleAsync(Stop);
    }

    private static async Task<List<string>> ClubAsync(TestApp app, string address, Func<string, bool>? wanted = null)
    {
        await using var db = app.Database.Open();
        var places = await db.Components.ToDictionaryAsync(c => c.Id, c => c.Position!, Stop);
        return
        [
            .. (await (await app.Officer.Ask(HttpMethod.Get, address)).Json()).GetProperty("items").EnumerateArray()
                .Where(item => wanted is null || wanted(item.Text("state")!))
                .Select(item => item.TryGetProperty("id", out var id) ? id : item.GetProperty("subjectId"))
                .Select(id => places[id.GetGuid()]),
        ];
    }

    /// <summary>Each place where it is met first.</summary>
    private static List<string> Places(string? text) =>
        [.. Place().Matches(text ?? "").Select(match => match.Value).Distinct()];

    [GeneratedRegex("place-[0-9]{2}")]
    private static partial Regex Place();

    [GeneratedRegex(@"https://club\.example/look/[^\s""<]+")]
    private static partial Regex Link();
}
