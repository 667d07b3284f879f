using System.Text.Json;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Webhooks;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Delivery;

/// <summary>Webhooks from the API to the receiver's socket.</summary>
public sealed class WebhookOutboxTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task An_event_reaches_the_receiver_signed_and_once(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver();
        await using var app = await StartAsync(kind);
        await GivenEventAsync(app, "due.changed");
        var (id, secret) = await GivenWebhookAsync(app, receiver);
        await GivenEventAsync(app, "due.changed");

        Assert.Equal(1, await SendAsync(app));
        Assert.Equal(0, await SendAsync(app));

        var hook = Assert.Single(receiver.Received);
        Assert.True(hook.Verifies(secret, app.Clock.GetUtcNow()));
        using var body = JsonDocument.Parse(hook.Body);
        Assert.Equal(("due.changed", 2L, "2026-11-25T12:00:00Z"), (
            body.RootElement.Text("type"), body.RootElement.GetProperty("sequence")
                .GetInt64(), body.RootElement.Text("timestamp")));
        Assert.Equal("x", body.RootElement.GetProperty("data").Text("note"));
        var delivery = (await (await app.Officer.GetAsync($"/v1/webhooks/{id}/deliveries", Stop)).Json())
            .GetProperty("items")[0];
        Assert.Equal(
            ("accepted", 1, 204),
            (delivery.Text("state"), delivery.GetProperty("attempts")
                .GetInt32(), delivery.GetProperty("status")
                .GetInt32()));
        Assert.Equal(hook.Headers["webhook-id"], delivery.Text("messageId"));
    }

    [Theory, OnBothDatabases]
    public async Task A_failed_call_is_made_again_with_the_same_id_and_body(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver { Answer = WebhookReceiver.Plain("503 Service Unavailable") };
        await using var app = await StartAsync(kind);
        await GivenWebhookAsync(app, receiver);
        await GivenEventAsync(app, "due.changed");

        await SendAsync(app);
        Assert.Equal(0, await SendAsync(app));
        receiver.Answer = WebhookReceiver.Plain("200 OK");
        app.Clock.Advance(TimeSpan.FromSeconds(6));
        Assert.Equal(1, await SendAsync(app));

        Assert.Equal(2, receiver.Received.Count);
        Assert.Equal(receiver.Received[0].Body, receiver.Received[1].Body);
        Assert.Equal(receiver.Received[0].Headers["webhook-id"], receiver.Received[1].Headers["webhook-id"]);
        Assert.NotEqual(receiver.Received[0]
            .Headers["webhook-timestamp"], receiver.Received[1]
            .Headers["webhook-timestamp"]);
    }

    [Theory, OnBothDatabases]
    public async Task A_receiver_that_says_gone_is_disabled_at_once_and_the_club_is_told(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver { Answer = WebhookReceiver.Plain("410 Gone") };
        await using var app = await StartAsync(kind);
        var (id, _) = await GivenWebhookAsync(app, receiver);
        await GivenEventAsync(app, "due.changed");

        await SendAsync(app);
        await GivenEventAsync(app, "due.changed");
        await SendAsync(app);

        Assert.Single(receiver.Received);
        var webhook = await (await app.Officer.GetAsync($"/v1/webhooks/{id}", Stop)).Json();
        Assert.False(webhook.GetProperty("enabled").GetBoolean());
        Assert.Contains("410", webhook.Text("disabledReason"), StringComparison.Ordinal);
        await using var db = app.Database.Open();
        Assert.Equal(1, await db.Events.CountAsync(e => e.Type == "webhook.disabled", Stop));
    }

    [Theory, OnBothDatabases]
    public async Task Three_days_without_one_good_answer_disable_a_webhook(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver { Answer = WebhookReceiver.Plain("500 Internal Server Error") };
        await using var app = await StartAsync(kind);
        var (id, _) = await GivenWebhookAsync(app, receiver);
        await GivenEventAsync(app, "due.changed");

        var tries = 0;
        for (var hour = 0; hour < 24 * 5; hour++)
        {
            tries += await SendAsync(app);
            app.Clock.Advance(TimeSpan.FromHours(1));
        }

        Assert.Equal(10, tries);
        var webhook = await (await app.Officer.GetAsync($"/v1/webhooks/{id}", Stop)).Json();
        Assert.False(webhook.GetProperty("enabled").GetBoolean());
        await using var db = app.Database.Open();
        Assert.Equal(
            SendState.Dead, (await db.WebhookDeliveries.SingleAsync(d => d.EventType == "due.changed", Stop)).State);
    }

    [Theory, OnBothDatabases]
    public async Task A_rotated_secret_signs_beside_the_old_one_for_as_long_as_asked(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver();
        await using var app = await StartAsync(kind);
        var (id, old) = await GivenWebhookAsync(app, receiver);
        var reply = await app.Officer.Ask(HttpMethod.Post, $"/v1/webhooks/{id}/rotate", """{ "keepOldHours": 2 }""", ifMatch: "*");
        var fresh = (await reply.Json()).Text("secret")!;

        await GivenEventAsync(app, "due.changed");
        await SendAsync(app);
        app.Clock.Advance(TimeSpan.FromHours(2));
        await GivenEventAsync(app, "due.changed");
        await SendAsync(app);

        var now = app.Clock.GetUtcNow();
        Assert.NotEqual(old, fresh);
        Assert.True(receiver.Received[0].Verifies(old, now.AddHours(-2)));
        Assert.True(receiver.Received[0].Verifies(fresh, now.AddHours(-2)));
        Assert.False(receiver.Received[1].Verifies(old, now));
        Assert.True(receiver.Received[1].Verifies(fresh, now));
    }

    [Theory, OnBothDatabases]
    public async Task Only_the_wished_events_come_and_a_ping_always_does(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver();
        await using var app = await StartAsync(kind);
        var (id, secret) = await GivenWebhookAsync(app, receiver, eventTypes: ["member.mail_suspended"]);
        await GivenEventAsync(app, "due.changed");
        await GivenEventAsync(app, "member.mail_suspended");

        Assert.Equal(202, (int)(await app.Officer.PostAsync($"/v1/webhooks/{id}/ping", null, Stop)).StatusCode);
        await SendAsync(app);

        Assert.Equal(["member.mail_suspended", "webhook.ping"], receiver.Received.Select(TypeOf)
            .Order(StringComparer.Ordinal));
        Assert.All(receiver.Received, hook => Assert.True(hook.Verifies(secret, app.Clock.GetUtcNow())));
    }

    /// <summary>The catalogue has flexible brake hoses as catastrophic, due after 72 months, and timing belts as
    /// critical.</summary>
    [Theory, OnBothDatabases]
    public async Task Of_due_states_only_the_wished_come_and_what_has_left_them(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver();
        await using var app = await StartAsync(kind);
        var van = await app.GivenVehicleAsync(name: "Blue van");
        var other = await app.GivenVehicleAsync(name: "Red car");
        var made = await app.Officer.Ask(HttpMethod.Post, "/v1/webhooks", JsonSerializer.Serialize(
            new
            {
                name = "chat",
                url = receiver.Url.AbsoluteUri,
                eventTypes = new[] { "due.changed" },
                vehicleId = van,
                leastHazard = "critical",
                leastState = "overdue"
            }));
        Assert.Equal(201, (int)made.StatusCode);
        var webhook = (await made.Json()).GetProperty("details");
        Assert.Equal(
            (van.ToString(), "critical", "overdue"),
            (webhook.Text("vehicleId"), webhook.Text("leastHazard"), webhook.Text("leastState")));

        var hose = await app.GivenComponent(van, "brake-hose-flexible");
        await app.GivenComponent(other, "brake-hose-flexible");
        await app.GivenComponent(
            van, "brake-hose-flexible", new { kind = "mark", text = "Jun 2026", on = "2026-11-01" });
        await SendAsync(app);
        await app.PostOk(
            $"/v1/components/{hose}/evidence", new { kind = "mark", text = "May 2026", on = "2026-11-01" });
        await SendAsync(app);

        Assert.Equal([(hose.ToString(), "overdue"), (hose.ToString(), "in-life")], receiver.Received.Select(hook =>
        {
            var data = JsonDocument.Parse(hook.Body).RootElement.GetProperty("data");
            return (data.Text("subjectId")!, data.Text("state")!);
        }));
        var lost = await app.Officer.Ask(
            HttpMethod.Patch, $"/v1/webhooks/{webhook.Text("id")}",
            JsonSerializer.Serialize(new { vehicleId = Guid.NewGuid() }), ifMatch: "*");
        Assert.Equal(("#/vehicleId", "no-such-vehicle"), (await lost.Problem(422, "validation")).Errors().Single());
    }

    [Fact]
    public async Task An_event_type_that_does_not_exist_would_never_come_and_is_refused()
    {
        await using var app = await StartAsync(DatabaseKind.Sqlite);
        var wrong = await app.Officer.Ask(
            HttpMethod.Post, "/v1/webhooks",
            JsonSerializer.Serialize(new
            {
                name = "x",
                url = "https://hooks.example/",
                eventTypes = new[] { "due.changed", "due.change" }
            }));
        Assert.Equal(("#/eventTypes/1", "unknown-event-type"), (await wrong.Problem(422, "validation"))
            .Errors()
            .Single());
    }

    [Theory, OnBothDatabases]
    public async Task A_delivery_can_be_made_again(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver();
        await using var app = await StartAsync(kind);
        var (id, _) = await GivenWebhookAsync(app, receiver);
        await GivenEventAsync(app, "due.changed");
        await SendAsync(app);
        var delivery = (await (await app.Officer.GetAsync($"/v1/webhooks/{id}/deliveries", Stop)).Json())
            .GetProperty("items")[0]
            .Text("id");

        Assert.Equal(
            202,
            (int)(await app.Officer.PostAsync(
                $"/v1/webhooks/{id}/deliveries/{delivery}/redeliver", null, Stop)).StatusCode);
        await SendAsync(app);

        Assert.Equal(2, receiver.Received.Count);
        Assert.Equal(receiver.Received[0].Headers["webhook-id"], receiver.Received[1].Headers["webhook-id"]);

        await app.Officer.Ask(HttpMethod.Patch, $"/v1/webhooks/{id}", "{\"enabled\":false}", ifMatch: "*");
        await (await app.Officer.PostAsync($"/v1/webhooks/{id}/deliveries/{delivery}/redeliver", null, Stop))
            .Problem(409, "conflict");
    }

    [Theory, OnBothDatabases]
    public async Task A_secret_is_shown_once_and_never_stands_in_the_database(DatabaseKind kind)
    {
        await using var receiver = new WebhookReceiver();
        await using var app = await StartAsync(kind);
        var (id, secret) = await GivenWebhookAsync(app, receiver);

        var shown = await (await app.Officer.GetAsync($"/v1/webhooks/{id}", Stop)).Content.ReadAsStringAsync(Stop);
        await using var db = app.Database.Open();
        var kept = await db.Webhooks.Select(w => w.Secret).SingleAsync(Stop);

        Assert.DoesNotContain("whsec_", shown, StringComparison.Ordinal);
        Assert.DoesNotContain(secret["whsec_".Length..], kept, StringComparison.Ordinal);
        Assert.StartsWith("v1.", kept, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_within_is_refused_by_name_of_the_member()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"));
        foreach (var url in DeliveryVectors.Cases("ssrf/uri-forms")
            .Select(c => c.Text("url")!)
            .Append("https://10.0.0.1/")
            .Append("http://hooks.example.org/"))
        {
            var reply = await app.Officer.Ask(
                HttpMethod.Post, "/v1/webhooks", JsonSerializer.Serialize(new { name = "x", url }));
            Assert.Equal(("#/url", "url-refused"), (await reply.Problem(422, "validation")).Errors().Single());
        }
    }

    [Fact]
    public async Task Webhooks_are_the_officers_and_change_by_version()
    {
        await using var receiver = new WebhookReceiver();
        await using var app = await StartAsync(DatabaseKind.Sqlite);
        var (id, _) = await GivenWebhookAsync(app, receiver);
        var member = await app.GivenMemberAsync("Bob", "bob@example.org");
        using var client = await app.GivenKeyAsync("member", member);

        Assert.Equal(403, (int)(await client.GetAsync("/v1/webhooks", Stop)).StatusCode);
        Assert.Equal(428, (int)(await app.Officer.Ask(HttpMethod.Patch, $"/v1/webhooks/{id}", """{ "enabled": false }""")).StatusCode);
        var changed = await app.Officer.Ask(HttpMethod.Patch, $"/v1/webhooks/{id}", """{ "enabled": false }""", ifMatch: "*");
        Assert.False((await changed.Json()).GetProperty("enabled").GetBoolean());
        await GivenEventAsync(app, "due.changed");
        await app.Officer.Ask(HttpMethod.Patch, $"/v1/webhooks/{id}", """{ "enabled": true }""", ifMatch: "*");
        Assert.Equal(0, await SendAsync(app));
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, $"/v1/webhooks/{id}", ifMatch: "*")).StatusCode);
    }

    /// <summary>For a receiver that missed a call and for scripts that poll.</summary>
    [Theory, OnBothDatabases]
    public async Task Events_can_be_read_in_order_after_any_number(DatabaseKind kind)
    {
        await using var app = await StartAsync(kind);
        for (var i = 0; i < 5; i++)
        {
            await GivenEventAsync(app, i == 2 ? "member.mail_suspended" : "due.changed");
        }

        var page = await (await app.Officer.GetAsync("/v1/events?after=1&limit=2", Stop)).Json();
        var typed = await (await app.Officer.GetAsync("/v1/events?type=member.mail_suspended", Stop)).Json();
        var none = await (await app.Officer.GetAsync("/v1/events?after=5", Stop)).Json();

        Assert.Equal([2L, 3L], page.GetProperty("items")
            .EnumerateArray()
            .Select(e => e.GetProperty("sequence").GetInt64()));
        Assert.Equal(3, page.GetProperty("last").GetInt64());
        Assert.Equal("x", typed.GetProperty("items")[0].GetProperty("data").Text("note"));
        Assert.Equal((0, 5L), (none.GetProperty("items").GetArrayLength(), none.GetProperty("last").GetInt64()));
    }

    private static Task<TestApp> StartAsync(DatabaseKind kind) =>
        TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"), ("AGEWATCH_WEBHOOK_ALLOW_CIDR", "127.0.0.0/8"));

    private static Task<int> SendAsync(TestApp app) =>
        app.Services.GetRequiredService<WebhookOutbox>().SendDueAsync(Stop);

    private static async Task<(Guid Id, string Secret)> GivenWebhookAsync(
        TestApp app, WebhookReceiver receiver, string[]? eventTypes = null)
    {
        var reply = await app.Officer.Ask(
            HttpMethod.Post, "/v1/webhooks",
            JsonSerializer.Serialize(new
            {
                name = "chat",
                url = receiver.Url.AbsoluteUri,
                eventTypes = eventTypes
                ?? []
            }));
        Assert.Equal(201, (int)reply.StatusCode);
        var json = await reply.Json();
        return (json.GetProperty("details").GetProperty("id").GetGuid(), json.Text("secret")!);
    }

    private static Task GivenEventAsync(TestApp app, string type) => app.InScopeAsync(async services =>
    {
        var db = services.GetRequiredService<AgeWatchContext>();
        await using var transaction = await db.Database.BeginTransactionAsync(Stop);
        var club = await db.Clubs.Select(c => c.ClubId).SingleAsync(Stop);
        await db.RaiseAsync(club, type, null, new { Note = "x" }, app.Clock.GetUtcNow().UtcDateTime, Stop);
        await transaction.CommitAsync(Stop);
        return 0;
    });

    private static string TypeOf(ReceivedHook hook)
    {
        using var body = JsonDocument.Parse(hook.Body);
        return body.RootElement.Text("type")!;
    }
}
