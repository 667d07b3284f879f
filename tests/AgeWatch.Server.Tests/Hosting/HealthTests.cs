using AgeWatch.Server.Recording;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Hosting;

/// <summary>The times are those that the readme promises: a night two hours, mail two hours, what is due half an
/// hour.</summary>
public sealed class HealthTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task A_night_that_should_have_been_over_is_late_until_it_is_run(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await AssertAsync(app, late: []);

        app.Clock.MoveTo("2026-11-26T05:30:00");
        await AssertAsync(app, late: []);
        app.Clock.MoveTo("2026-11-26T05:30:01");
        await AssertAsync(app, late: ["nights"]);

        await app.MinuteAsync();
        await AssertAsync(app, late: []);
    }

    [Theory, OnBothDatabases]
    public async Task Mail_that_nobody_takes_up_and_mail_that_no_server_takes_is_late(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(1);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.MinuteAsync();

        app.Clock.MoveTo("2026-11-26T04:00:00");
        await AssertAsync(app, late: []);
        app.Clock.MoveTo("2026-11-26T04:00:01");
        await AssertAsync(app, late: ["outbox"]);

        // A worker has tried it and waits before it tries again.
        await ChangeAsync(
            app, DateTime.Parse("2026-11-26T08:00:00Z", null, System.Globalization.DateTimeStyles.AdjustToUniversal),
            SendState.Waiting);
        await AssertAsync(app, late: []);
        app.Clock.MoveTo("2026-11-26T05:30:01");
        await AssertAsync(app, late: ["outbox"]);

        await ChangeAsync(app, null, SendState.Accepted);
        await AssertAsync(app, late: []);
    }

    [Theory, OnBothDatabases]
    public async Task A_call_that_nobody_takes_up_is_late_and_one_that_waits_its_turn_is_not(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        var body = """{"name":"Chat","url":"https://hooks.example/x"}""";
        var made = await (await app.Officer.Ask(HttpMethod.Post, "/v1/webhooks", body)).Json();
        var id = made.GetProperty("details").GetProperty("id").GetGuid();
        var clubId = await app.Database.ClubIdAsync();
        await app.InScopeAsync(async services =>
        {
            await services.GetRequiredService<AgeWatchContext>()
                .RaiseAsync(clubId, "member.mail_suspended", null, new { }, app.Clock.GetUtcNow().UtcDateTime, Stop);
            return true;
        });

        app.Clock.Advance(TimeSpan.FromMinutes(31));
        await AssertAsync(app, late: ["outbox"]);

        // Written for its receiver, and now the receiver is away: the published schedule waits for hours.
        await app.InScopeAsync(async services =>
        {
            await services.GetRequiredService<Webhooks.WebhookFanOut>().RunAsync(Stop);
            return true;
        });
        await AssertAsync(app, late: []);
        app.Clock.Advance(TimeSpan.FromMinutes(31));
        await AssertAsync(app, late: ["outbox"]);
        await using (var db = app.Database.Open())
        {
            var next = app.Clock.GetUtcNow().UtcDateTime.AddHours(5);
            await db.WebhookDeliveries.Where(d => d.WebhookId == id)
                .ExecuteUpdateAsync(set => set.SetProperty(d => d.NextAttemptAt, next), Stop);
        }

        app.Clock.Advance(TimeSpan.FromHours(5));
        await AssertAsync(app, late: []);
    }

    /// <summary>Serving goes on: whoever takes a server off the net because mail is late hides what is due.</summary>
    private static async Task AssertAsync(TestApp app, string[] late)
    {
        var ready = await app.Anonymous.GetAsync("/health/ready", Stop);
        Assert.Equal(200, (int)ready.StatusCode);
        var answer = await ready.Json();
        Assert.Equal(late.Length > 0 ? "late" : "ok", answer.GetProperty("status").GetString());
        var checks = answer.GetProperty("checks")
            .EnumerateObject()
            .ToDictionary(check => check.Name, check => check.Value.GetString());
        Assert.Equal(["database", "nights", "outbox"], checks.Keys.Order());
        Assert.Equal(late, checks.Where(check => check.Value != "ok").Select(check => check.Key).Order());

        var work = await app.Anonymous.GetAsync("/health/work", Stop);
        if (late.Length == 0)
        {
            Assert.Equal(200, (int)work.StatusCode);
        }
        else
        {
            var problem = await work.Problem(503, "not-ready");
            Assert.Equal($"Not as it should be: {late[0]} late.", problem.GetProperty("detail").GetString());
        }
    }

    private static async Task ChangeAsync(TestApp app, DateTime? next, SendState state)
    {
        await using var db = app.Database.Open();
        Assert.Equal(1, await db.Digests.ExecuteUpdateAsync(
            set => set.SetProperty(d => d.NextAttemptAt, next).SetProperty(d => d.State, state), Stop));
    }
}
