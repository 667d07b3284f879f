using System.Text.Json;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class FeedEndpointTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task A_calendar_shows_the_due_days_and_stays_the_same_until_they_change(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var vehicle = await app.GivenVehicleAsync(name: "Blue van");
        var part = await GivenDueAsync(app, vehicle, new(2026, 12, 1));
        var feed = await GivenFeedAsync(app, new { name = "Club" });

        var first = await app.Anonymous.GetAsync(feed.Calendar, Stop);
        var bytes = await first.Content.ReadAsByteArrayAsync(Stop);
        app.Clock.Advance(TimeSpan.FromHours(1));
        var second = await app.Anonymous.GetAsync(feed.Calendar, Stop);

        Assert.Equal("text/calendar; charset=utf-8", first.Content.Headers.ContentType?.ToString());
        Assert.Equal("noindex", first.Headers.GetValues("X-Robots-Tag").Single());
        Assert.True(first.Headers.CacheControl is { Private: true, NoCache: true });
        Assert.Equal("no-referrer", first.Headers.GetValues("Referrer-Policy").Single());
        Assert.Equal(bytes, await second.Content.ReadAsByteArrayAsync(Stop));
        var known = await app.Anonymous.Ask(HttpMethod.Get, feed.Calendar, ifNoneMatch: first.Headers.ETag!.ToString());
        Assert.Equal(304, (int)known.StatusCode);
        var calendar = Ical.Net.Calendar.Load(System.Text.Encoding.UTF8.GetString(bytes))!;
        var entry = Assert.Single(calendar.Events);
        Assert.Equal("Blue van: Brake hose, flexible", entry.Summary);
        Assert.Equal(new DateTime(2026, 12, 1), entry.Start!.Value.Date);
        Assert.Contains(
            "Local codes and licensed practice take precedence.", entry.Description, StringComparison.Ordinal);

        await using (var db = app.Database.Open())
        {
            (await db.DueStates.SingleAsync(s => s.SubjectId == part, Stop)).DueEarliest = new(2026, 11, 30);
            await db.SaveChangesAsync(Stop);
        }

        app.Clock.Advance(TimeSpan.FromHours(1));
        var moved = Ical.Net.Calendar.Load(await app.Anonymous.GetStringAsync(feed.Calendar, Stop))!.Events.Single();
        Assert.Equal(entry.Uid, moved.Uid);
        Assert.Equal(new DateTime(2026, 11, 30), moved.Start!.Value.Date);

        // RFC 5545 3.8.7.2 and 3.8.7.4: without METHOD the stamp is the last change; the sequence starts at 0 and only
        // rises.
        Assert.Equal((0, new DateTime(2026, 11, 25, 12, 0, 0)), (entry.Sequence, entry.DtStamp!.Value));
        Assert.Equal((1, new DateTime(2026, 11, 25, 14, 0, 0)), (moved.Sequence, moved.DtStamp!.Value));
    }

    /// <summary>The name of the car is in the summary, so it is a change of the entry; the other car's entry has
    /// none.</summary>
    [Theory, OnBothDatabases]
    public async Task Only_the_entry_that_says_something_else_is_changed_whichever_feed_shows_it(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var van = await app.GivenVehicleAsync(name: "Blue van");
        foreach (var car in new[] { van, await app.GivenVehicleAsync(name: "Red car") })
        {
            await app.GivenAsync(
                $"/v1/vehicles/{car}/components", new { partKind = "brake-hose-flexible", original = true });
        }

        var one = await GivenFeedAsync(app, new { name = "Van", vehicleId = van });
        var all = await GivenFeedAsync(app, new { name = "Club" });

        // All at once: each reader finds nothing kept, one of them keeps it, and all are answered.
        var first = await Task.WhenAll(Enumerable.Range(0, 8)
            .Select(_ => app.Anonymous.GetStringAsync(all.Calendar, Stop)));
        Assert.Single(first.Distinct());
        app.Clock.Advance(TimeSpan.FromHours(1));
        Assert.Equal(
            200,
            (int)(await app.Officer.Ask(
                HttpMethod.Patch, $"/v1/vehicles/{van}", "{\"name\":\"Grey van\"}", ifMatch: "*")).StatusCode);

        Assert.Equal(
            1,
            Ical.Net.Calendar.Load(await app.Anonymous.GetStringAsync(one.Calendar, Stop))!.Events.Single().Sequence);
        app.Clock.Advance(TimeSpan.FromHours(1));
        var events = Ical.Net.Calendar.Load(await app.Anonymous.GetStringAsync(all.Calendar, Stop))!.Events;
        Assert.Equal(
            [("Grey van", 1, 13), ("Red car", 0, 12)],
            events.Select(e => (e.Summary!.Split(':')[0], e.Sequence, e.DtStamp!.Value.Hour)).Order());
        using var json = JsonDocument.Parse(await app.Anonymous.GetStringAsync(all.Json, Stop));
        Assert.Equal(
            ["2026-11-25T12:00:00Z", "2026-11-25T13:00:00Z"],
            json.RootElement.GetProperty("items").EnumerateArray().Select(item => item.Text("date_modified")).Order());
    }

    [Theory, OnBothDatabases]
    public async Task The_same_days_come_as_tasks_as_json_and_as_a_table(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        await GivenDueAsync(app, await app.GivenVehicleAsync(name: "=1+1"), new(2026, 12, 1));
        var feed = await GivenFeedAsync(app, new { name = "Club" });

        Assert.Contains(
            "DUE;VALUE=DATE:20261201", await app.Anonymous.GetStringAsync(feed.Calendar + "?kind=todo", Stop),
            StringComparison.Ordinal);
        using var json = JsonDocument.Parse(await app.Anonymous.GetStringAsync(feed.Json, Stop));
        Assert.Equal("2026-12-01", json.RootElement.GetProperty("items")[0].GetProperty("_agewatch").Text("due_on"));
        var table = await app.Anonymous.GetStringAsync(feed.Csv, Stop);
        Assert.StartsWith(
            "vehicle,part,position,state,certainty,hazard,due_earliest,due_latest,since,force\r\n'=1+1,\"Brake hose, "
                + "flexible\",,overdue,certain,catastrophic,2026-12-01,",
            table, StringComparison.Ordinal);
        Assert.Contains(
            "\r\n=1+1,", await app.Anonymous.GetStringAsync(feed.Csv + "?raw=true", Stop), StringComparison.Ordinal);
        var lines = await app.Anonymous.GetAsync(feed.Csv[..^"csv".Length] + "ndjson", Stop);
        Assert.Equal("application/x-ndjson", lines.Content.Headers.ContentType?.MediaType);
        var line = JsonDocument.Parse(Assert.Single((await lines.Content.ReadAsStringAsync(Stop))
            .Split('\n', StringSplitOptions.RemoveEmptyEntries))).RootElement;
        Assert.Equal(
            ("=1+1", "overdue", "2026-12-01", "2026-12-31"),
            (line.Text("vehicle"), line.Text("state"), line.Text("dueEarliest"), line.Text("dueLatest")));
        Assert.Equal(400, (int)(await app.Anonymous.GetAsync(feed.Calendar + "?colour=red", Stop)).StatusCode);
    }

    /// <summary>A list without the unknown would look safer than the facts. RFC 5545 3.6.2: a task need not have a
    /// DUE.</summary>
    [Theory, OnBothDatabases]
    public async Task What_is_unknown_is_in_the_feed_and_a_feed_can_be_of_the_worst_alone(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        await GivenDueAsync(app, await app.GivenVehicleAsync(name: "Blue van"), new(2026, 12, 1));
        await using (var db = app.Database.Open())
        {
            var due = await db.DueStates.AsNoTracking().SingleAsync(Stop);
            db.AddRange(
                Like(due, DueState.Unknown, HazardClass.Catastrophic, due.VehicleId),
                Like(due, DueState.Overdue, HazardClass.Marginal, due.VehicleId),
                Like(due, DueState.Unknown, HazardClass.Critical, null));
            await db.SaveChangesAsync(Stop);
        }

        var all = await GivenFeedAsync(app, new { name = "Club" });
        var worst = await GivenFeedAsync(app, new { name = "Worst", leastHazard = "critical", leastState = "overdue" });

        using var json = JsonDocument.Parse(await app.Anonymous.GetStringAsync(all.Json, Stop));
        var unknown = json.RootElement.GetProperty("items").EnumerateArray()
            .Single(item => item.Text("title") == "Blue van: Brake hose, flexible"
                && item.GetProperty("_agewatch").Text("unknown_since") is not null);
        Assert.Equal("2026-11-20", unknown.GetProperty("_agewatch").Text("unknown_since"));
        Assert.False(unknown.GetProperty("_agewatch").TryGetProperty("due_on", out _));
        Assert.Contains(
            "No due day can be told, since 2026-11-20", unknown.Text("content_text"), StringComparison.Ordinal);
        Assert.Equal(4, Ical.Net.Calendar.Load(await app.Anonymous.GetStringAsync(all.Calendar, Stop))!.Events.Count);
        var todos = Ical.Net.Calendar.Load(await app.Anonymous.GetStringAsync(all.Calendar
            + "?kind=todo", Stop))!.Todos;
        Assert.Equal(
            ["Blue van: Brake hose, flexible", "Shelf: Brake hose, flexible"], todos.Where(todo => todo.Due is null)
            .Select(todo => todo.Summary)
            .Order());
        Assert.Equal(2, (await app.Anonymous.GetStringAsync(worst.Csv, Stop))
            .Split("\r\n", StringSplitOptions.RemoveEmptyEntries)
            .Length);

        SubjectState Like(SubjectState due, DueState state, HazardClass hazard, Guid? vehicleId) => new()
        {
            ClubId = due.ClubId,
            SubjectId = Guid.CreateVersion7(),
            SubjectKind = due.SubjectKind,
            VehicleId = vehicleId,
            PartKind = due.PartKind,
            Hazard = hazard,
            State = state,
            Certainty = Certainty.Possible,
            DueEarliest = state == DueState.Unknown ? null : due.DueEarliest,
            DueLatest = state == DueState.Unknown ? null : due.DueLatest,
            AsOf = due.AsOf,
            Since = due.Since,
            RuleVersion = due.RuleVersion,
        };
    }

    [Fact]
    public async Task A_revoked_feed_is_answered_like_one_that_never_was()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"));
        var feed = await GivenFeedAsync(app, new { name = "Club" });
        Assert.Equal(200, (int)(await app.Anonymous.GetAsync(feed.Calendar, Stop)).StatusCode);

        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, $"/v1/feeds/{feed.Id}", ifMatch: "*")).StatusCode);

        var dead = await (await app.Anonymous.GetAsync(feed.Calendar, Stop)).Problem(404, "not-found");
        var never = await (await app.Anonymous.GetAsync("/v1/feeds/" + new string('x', 43) + ".ics", Stop))
            .Problem(404, "not-found");
        Assert.Equal(never.Text("detail"), dead.Text("detail"));
        Assert.DoesNotContain(feed.Calendar.Split('/')[^1][..20], dead.GetRawText(), StringComparison.Ordinal);
        Assert.Equal("2026-11-25", (await (await app.Officer.GetAsync($"/v1/feeds/{feed.Id}", Stop)).Json())
            .Text("lastUsedOn"));
    }

    [Theory, OnBothDatabases]
    public async Task A_members_feed_holds_that_members_vehicles_whatever_is_asked(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var bob = await app.GivenMemberAsync("Bob", "bob@example.org");
        var eve = await app.GivenMemberAsync("Eve", "eve@example.org");
        await GivenDueAsync(app, await app.GivenVehicleAsync(name: "Blue van", memberId: bob), new(2026, 12, 1));
        var other = await app.GivenVehicleAsync(name: "Red car", memberId: eve);
        await GivenDueAsync(app, other, new(2026, 12, 2));
        using var client = await app.GivenKeyAsync("member", bob);

        var mine = await GivenFeedAsync(app, new { name = "Mine", memberId = eve }, client);
        var refused = await client.Ask(
            HttpMethod.Post, "/v1/feeds", JsonSerializer.Serialize(new { name = "x", vehicleId = other }));

        var text = await app.Anonymous.GetStringAsync(mine.Calendar, Stop);
        Assert.Contains("Blue van", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Red car", text, StringComparison.Ordinal);
        Assert.DoesNotContain("bob@", text, StringComparison.Ordinal);
        Assert.DoesNotContain("127.0.0.1", text, StringComparison.Ordinal);
        Assert.Equal(("#/vehicleId", "no-such-vehicle"), (await refused.Problem(422, "validation")).Errors().Single());
        var others = await GivenFeedAsync(app, new { name = "Club" });
        Assert.Equal(404, (int)(await client.GetAsync($"/v1/feeds/{others.Id}", Stop)).StatusCode);
        Assert.Equal(1, (await (await client.GetAsync("/v1/feeds", Stop)).Json())
            .GetProperty("items")
            .GetArrayLength());
    }

    [Theory, OnBothDatabases]
    public async Task Subscriptions_are_seen_and_changed_by_whom_they_concern(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var bob = await app.GivenMemberAsync("Bob", "bob@example.org");
        var eve = await app.GivenMemberAsync("Eve", "eve@example.org");
        var van = await app.GivenVehicleAsync(name: "Blue van", memberId: bob);
        using var client = await app.GivenKeyAsync("member", bob);

        var own = await client.Ask(
            HttpMethod.Post, "/v1/subscriptions",
            JsonSerializer.Serialize(new { memberId = bob, vehicleId = van, rhythm = "weekly", weekday = "friday" }));
        Assert.Equal(201, (int)own.StatusCode);
        var id = (await own.Json()).Text("id");
        var wide = await client.Ask(
            HttpMethod.Post, "/v1/subscriptions", JsonSerializer.Serialize(new { memberId = bob, wholeClub = true }));
        Assert.Equal(("#/wholeClub", "officers-only"), (await wide.Problem(422, "validation")).Errors().Single());
        var foreign = await client.Ask(
            HttpMethod.Post, "/v1/subscriptions", JsonSerializer.Serialize(new { memberId = eve, vehicleId = van }));
        Assert.Equal(("#/memberId", "no-such-member"), (await foreign.Problem(422, "validation")).Errors().Single());
        var both = await app.Officer.Ask(
            HttpMethod.Post, "/v1/subscriptions",
            JsonSerializer.Serialize(new { memberId = eve, wholeClub = true, vehicleId = van }));
        Assert.Equal(("#/vehicleId", "one-of"), (await both.Problem(422, "validation")).Errors().Single());
        Assert.Equal(
            201,
            (int)(await app.Officer.Ask(
                HttpMethod.Post, "/v1/subscriptions",
                JsonSerializer.Serialize(new
                {
                    memberId = eve,
                    wholeClub = true,
                    leastHazard = "critical"
                }))).StatusCode);
        var mild = await app.Officer.Ask(
            HttpMethod.Post, "/v1/subscriptions",
            JsonSerializer.Serialize(new { memberId = eve, wholeClub = true, leastState = "in-life" }));
        Assert.Equal(("#/leastState", "nothing-due"), (await mild.Problem(422, "validation")).Errors().Single());

        Assert.Equal(1, (await (await client.GetAsync("/v1/subscriptions", Stop)).Json())
            .GetProperty("items")
            .GetArrayLength());
        Assert.Equal(2, (await (await app.Officer.GetAsync("/v1/subscriptions", Stop)).Json())
            .GetProperty("items")
            .GetArrayLength());
        var patched = await client.Ask(HttpMethod.Patch, $"/v1/subscriptions/{id}", """{ "pausedUntil": "2027-01-01" }""", ifMatch: own.Headers.ETag!.ToString());
        Assert.Equal("2027-01-01", (await patched.Json()).Text("pausedUntil"));
        Assert.Equal(
            204, (int)(await client.Ask(HttpMethod.Delete, $"/v1/subscriptions/{id}", ifMatch: "*")).StatusCode);
    }

    private static async Task<Guid> GivenDueAsync(TestApp app, Guid vehicleId, DateOnly due)
    {
        await using var db = app.Database.Open();
        var state = new SubjectState
        {
            ClubId = await db.Clubs.Select(c => c.ClubId).SingleAsync(Stop),
            SubjectId = Guid.CreateVersion7(),
            SubjectKind = SubjectKind.Component,
            VehicleId = vehicleId,
            PartKind = "brake-hose-flexible",
            Hazard = HazardClass.Catastrophic,
            State = DueState.Overdue,
            Certainty = Certainty.Certain,
            DueEarliest = due,
            DueLatest = due.AddDays(30),
            AsOf = new(2026, 11, 25),
            Since = new(2026, 11, 20),
            RuleVersion = "1",
        };
        db.Add(state);
        await db.SaveChangesAsync(Stop);
        return state.SubjectId;
    }

    private static async Task<(Guid Id, string Calendar, string Json, string Csv)> GivenFeedAsync(
        TestApp app, object body, HttpClient? client = null)
    {
        var reply = await (client ?? app.Officer).Ask(HttpMethod.Post, "/v1/feeds", JsonSerializer.Serialize(body));
        Assert.Equal(201, (int)reply.StatusCode);
        var json = await reply.Json();
        return (json.GetProperty("details")
            .GetProperty("id")
            .GetGuid(), json.Text("calendar")!, json.Text("json")!, json.Text("csv")!);
    }
}
