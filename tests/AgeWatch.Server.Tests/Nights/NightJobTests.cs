using AgeWatch.Server.Nights;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Nights;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Nights;

public sealed class NightJobTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Each_owner_is_told_once_and_the_officer_of_all(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(3, withOfficer: true);
        app.Clock.MoveTo("2026-11-26T03:30:00");

        Assert.Equal([FirstNight], await app.MinuteAsync());

        var run = await app.Database.NightRowAsync(FirstNight);
        Assert.Equal((NightRunStatus.Done, 6, 4), (run.Status, run.Assessed, run.Digests));
        Assert.Equal(
            new Dictionary<string, int>
            {
                ["member1@club.example Member"] = 1,
                ["member1@club.example Officer"] = 1,
                ["member2@club.example Member"] = 1,
                ["member3@club.example Member"] = 1,
            },
            await app.Database.DigestsAsync(FirstNight));
        await using var db = app.Database.Open();
        var officer = await db.Digests.SingleAsync(d => d.Kind == DigestKind.Officer, Stop);
        var text = System.Text.Encoding.ASCII.GetString(officer.Message);
        Assert.All(["Car 1", "Car 2", "Car 3", "Member 3"], name =>
            Assert.Contains(name, text, StringComparison.Ordinal));
        Assert.Equal(officer.Lines, await db.Notices.CountAsync(n => n.DigestId == officer.Id, Stop));
        if (kind == DatabaseKind.Sqlite)
        {
            var known = db.Database.SqlQuery<int>(
                $"SELECT COUNT(*) AS \"Value\" FROM sqlite_stat1 WHERE tbl = 'due_states'");
            Assert.NotEqual(0, await known.SingleAsync(Stop));
        }
    }

    [Theory, OnBothDatabases]
    public async Task A_night_with_nothing_new_writes_nothing(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(2);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.MinuteAsync();

        app.Clock.MoveTo("2026-11-27T03:30:00");
        await app.MinuteAsync();

        var second = await app.Database.NightRowAsync(new(2026, 11, 27));
        Assert.Equal((NightRunStatus.Done, 0, 0, 0), (second.Status, second.Assessed, second.Changed, second.Digests));
    }

    [Theory, OnBothDatabases]
    public async Task Whoever_wants_no_mail_today_gets_none(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(6);
        await using (var db = app.Database.Open())
        {
            var members = await db.Members.OrderBy(m => m.Name).ToListAsync(Stop);
            members[0].Email = null;
            members[1].UnsubscribedAt = DateTime.UnixEpoch;
            members[2].PausedUntil = new(2026, 11, 27);
            members[3].DigestRhythm = Storage.Clubs.DigestRhythm.Weekly;
            members[3].DigestWeekday = DayOfWeek.Friday;
            members[4].MailSuspendedAt = DateTime.UnixEpoch;
            await db.SaveChangesAsync(Stop);
        }

        // A Thursday, and the Friday after it.
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.MinuteAsync();
        app.Clock.MoveTo("2026-11-27T03:30:00");
        await app.MinuteAsync();

        Assert.Equal(["member6@club.example Member"], (await app.Database.DigestsAsync(FirstNight)).Keys);
        Assert.Equal(
            ["member3@club.example Member", "member4@club.example Member"],
            (await app.Database.DigestsAsync(new(2026, 11, 27))).Keys.Order());
    }

    [Theory, OnBothDatabases]
    public async Task A_dead_holder_is_taken_over_and_cannot_write_any_more(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(2);
        DueNight night = new(await app.Database.ClubIdAsync(), FirstNight);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.InScopeAsync(services =>
            services.GetRequiredService<NightLog>().TakeAsync(night.ClubId, night.LocalDate, "silent", Stop));

        app.Clock.Advance(NightLog.Stale - TimeSpan.FromSeconds(1));
        Assert.Empty(await app.RingAsync());
        Assert.False(await app.NightAsync(night));
        app.Clock.Advance(TimeSpan.FromSeconds(1));
        Assert.Equal([FirstNight], await app.MinuteAsync());

        Assert.Equal((NightRunStatus.Done, 2), await app.Database.NightRowAsync(FirstNight) is var row
            ? (row.Status, row.Attempts)
            : default);
        await Assert.ThrowsAsync<NightLostException>(() => app.InScopeAsync(async services =>
        {
            await services.GetRequiredService<NightLog>()
                .CountAsync(night.ClubId, night.LocalDate, "silent", Stop, digests: 1);
            return true;
        }));
    }

    [Theory, OnBothDatabases]
    public async Task A_night_that_fails_is_tried_again_later_and_not_for_ever(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        DueNight night = new(await app.Database.ClubIdAsync(), FirstNight);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        List<int> waited = [];
        for (var minute = 0; minute < 24 * 60; minute++, app.Clock.Advance(TimeSpan.FromMinutes(1)))
        {
            if ((await app.RingAsync()).Count > 0)
            {
                waited.Add(minute);
                await app.InScopeAsync(async services =>
                {
                    var log = services.GetRequiredService<NightLog>();
                    Assert.True(await log.TakeAsync(night.ClubId, night.LocalDate, "unlucky", Stop));
                    await log.FailAsync(night.ClubId, night.LocalDate, "unlucky", "The disk is full.", Stop);
                    return true;
                });
            }
        }

        // 1, 2, 4, 8, 16, 32 and 60 minutes apart.
        Assert.Equal([0, 1, 3, 7, 15, 31, 63, 123], waited);
        Assert.Equal(
            (NightRunStatus.Failed, "The disk is full."), await app.Database.NightRowAsync(FirstNight) is var row
            ? (row.Status, row.Error)
            : default);
    }

    [Theory, OnBothDatabases]
    public async Task A_worker_that_is_told_to_stop_gives_the_night_back(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(2);
        DueNight night = new(await app.Database.ClubIdAsync(), FirstNight);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.InScopeAsync(async services =>
        {
            var log = services.GetRequiredService<NightLog>();
            Assert.True(await log.TakeAsync(night.ClubId, night.LocalDate, "stopping", Stop));
            await log.GiveBackAsync(night.ClubId, night.LocalDate, "stopping", CancellationToken.None);
            return true;
        });

        Assert.Equal((NightRunStatus.Waiting, 0), await app.Database.NightRowAsync(FirstNight) is var row
            ? (row.Status, row.Attempts)
            : default);
        Assert.Equal([FirstNight], await app.MinuteAsync());
    }

    [Theory, OnBothDatabases]
    public async Task An_officer_starts_a_night_and_starts_it_again_for_what_is_left(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(1);
        DateOnly today = new(2026, 11, 25);

        var started = await app.Officer.Ask(HttpMethod.Post, "/v1/night-runs");
        Assert.Equal(202, (int)started.StatusCode);
        Assert.Equal("waiting", (await started.Json()).GetProperty("status").GetString());
        Assert.Equal([today], await app.MinuteAsync());
        var done = await (await app.Officer.GetAsync(started.Headers.Location, Stop)).Json();
        Assert.Equal(("done", 1), (done.GetProperty("status").GetString(), done.GetProperty("digests").GetInt32()));

        await app.Database.GivenOwnersAsync(1);
        Assert.Equal(202, (int)(await app.Officer.Ask(HttpMethod.Post, "/v1/night-runs", """{ "localDate": "2026-11-25", "full": true }""")).StatusCode);
        Assert.Equal([today], await app.MinuteAsync());

        Assert.Equal(2, (await app.Database.NightRowAsync(today)).Digests);
    }

    /// <summary>A pass that broke off after the first 50 of 60 vehicles (two parts each) has the last 10 to
    /// do.</summary>
    [Theory, OnBothDatabases]
    public async Task A_full_pass_that_broke_off_goes_on_where_it_was(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(60);
        var clubId = await app.Database.ClubIdAsync();
        var steps = 0;
        await Assert.ThrowsAsync<IOException>(() => app.InScopeAsync(async services =>
        {
            await services.GetRequiredService<NightAssessment>().FullAsync(
                clubId, FirstNight, (_, _) =>
                    ++steps == 1 ? Task.CompletedTask : throw new IOException("The power failed."), Stop);
            return true;
        }));
        Assert.Equal(202, (int)(await app.Officer.Ask(HttpMethod.Post, "/v1/night-runs")).StatusCode);
        var pass = (await (await app.Officer.GetAsync("/v1/night-runs/2026-11-25", Stop)).Json())
            .GetProperty("fullPass");
        Assert.Equal((50, 60), (pass.GetProperty("vehicles").GetInt32(), pass.GetProperty("of").GetInt32()));

        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.MinuteAsync();

        Assert.Equal((20, 20), await app.Database.NightRowAsync(FirstNight) is var row
            ? (row.Assessed, row.Changed)
            : default);
        await using var db = app.Database.Open();
        Assert.Equal(120, await db.DueStates.CountAsync(Stop));
    }

    [Fact]
    public async Task Only_the_present_day_can_be_started_and_only_by_an_officer()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite, null, Idle);

        var problem = await (await app.Officer.Ask(HttpMethod.Post, "/v1/night-runs", """{ "localDate": "2026-11-24" }""")).Problem(422, "validation");
        Assert.Equal([("#/localDate", "not-today")], problem.Errors());
        await (await app.Officer.Ask(HttpMethod.Get, "/v1/night-runs/2026-11-24")).Problem(404, "not-found");
        await (await app.Officer.Ask(HttpMethod.Get, "/v1/night-runs/yesterday")).Problem(404, "not-found");
        using var reader = await app.GivenKeyAsync("reader");
        await (await reader.Ask(HttpMethod.Post, "/v1/night-runs")).Problem(403, "forbidden");
    }
}
