using System.Globalization;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Nights;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Time.Testing;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>One night for each club and local day, whatever the clock, restarts and a second worker do.</summary>
public sealed class NightBellTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task The_first_night_is_the_first_after_the_club_was_made(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);

        Assert.Empty(await app.MinuteAsync());
        app.Clock.MoveTo("2026-11-26T03:29:59");
        Assert.Empty(await app.MinuteAsync());
        app.Clock.MoveTo("2026-11-26T03:30:00");
        Assert.Equal([FirstNight], await app.MinuteAsync());
        Assert.Empty(await app.MinuteAsync());
    }

    [Theory, OnBothDatabases]
    public async Task Missed_nights_are_caught_up_once(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);

        app.Clock.MoveTo("2026-11-29T17:00:00");

        Assert.Equal([new DateOnly(2026, 11, 29)], await app.MinuteAsync());
        Assert.Empty(await app.MinuteAsync());
    }

    [Theory, OnBothDatabases]
    public async Task A_clock_that_steps_neither_doubles_nor_loses_a_night(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, ClockAt("2026-11-25T12:00:00"), Idle);
        List<DateOnly> nights = [];

        // An hour back just after the night, a day ahead by mistake, and back again.
        foreach (var now in new[]
        {
            "2026-11-26T03:31:00", "2026-11-26T02:31:00", "2026-11-26T03:30:00", "2026-11-28T04:00:00",
            "2026-11-27T04:00:00",
            "2026-11-28T03:29:00", "2026-11-28T04:00:00", "2026-11-29T04:00:00",
        })
        {
            app.Clock.MoveTo(now);
            nights.AddRange(await app.MinuteAsync());
        }

        Assert.Equal([new(2026, 11, 26), new(2026, 11, 28), new(2026, 11, 29)], nights);
    }

    [Theory, OnBothDatabases]
    public async Task A_clock_that_was_years_ahead_does_not_silence_the_years_between(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, ClockAt("2026-11-25T12:00:00"), Idle);
        app.Clock.MoveTo("2031-01-01T04:00:00");
        Assert.Equal([new DateOnly(2031, 1, 1)], await app.MinuteAsync());

        app.Clock.MoveTo("2026-11-26T04:00:00");

        Assert.Equal([FirstNight], await app.MinuteAsync());
    }

    /// <summary>Ringing every quarter of an hour over the changes of 2027 and over the day that Apia skipped.</summary>
    [Theory]
    [InlineData(
        "Europe/London", "2027-03-26T12:00:00", "2027-03-30T12:00:00", "2027-03-27 2027-03-28 2027-03-29 2027-03-30")]
    [InlineData("Europe/London", "2027-10-29T12:00:00", "2027-11-01T12:00:00", "2027-10-30 2027-10-31 2027-11-01")]
    [InlineData("America/New_York", "2027-03-12T12:00:00", "2027-03-15T12:00:00", "2027-03-13 2027-03-14 2027-03-15")]
    [InlineData("America/New_York", "2027-11-05T12:00:00", "2027-11-08T12:00:00", "2027-11-06 2027-11-07 2027-11-08")]
    [InlineData(
        "Australia/Lord_Howe", "2027-04-02T12:00:00", "2027-04-05T12:00:00", "2027-04-03 2027-04-04 2027-04-05")]
    [InlineData(
        "Australia/Lord_Howe", "2027-10-01T12:00:00", "2027-10-04T12:00:00", "2027-10-02 2027-10-03 2027-10-04")]
    [InlineData("Pacific/Apia", "2011-12-28T12:00:00", "2011-12-31T20:00:00", "2011-12-29 2011-12-31 2012-01-01")]
    public async Task Each_local_day_has_one_night(string zone, string from, string until, string days)
    {
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, ClockAt(from), Idle, ("AGEWATCH_ZONE", zone));
        await using (var db = app.Database.Open())
        {
            await db.Clubs.ExecuteUpdateAsync(set => set.SetProperty(c => c.NightMinute, 105), Stop);
        }

        List<DateOnly> nights = [];
        while (app.Clock.GetUtcNow() <= DateTimeOffset.Parse(until + "Z", CultureInfo.InvariantCulture))
        {
            nights.AddRange(await app.MinuteAsync());
            app.Clock.Advance(TimeSpan.FromMinutes(15));
        }

        Assert.Equal(days.Split(' ').Select(day => DateOnly.Parse(day, CultureInfo.InvariantCulture)), nights);
    }

    [Theory, OnBothDatabases]
    public async Task Two_workers_share_a_night_between_them_once(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);
        FakeTimeProvider clock = ClockAt("2026-11-25T12:00:00");
        await using var one = await TestApp.StartAsync(database, clock, null, Idle);
        await using var two = await TestApp.StartAsync(database, clock, one.Key, Idle);
        await database.GivenOwnersAsync(5);
        clock.MoveTo("2026-11-26T03:30:00");

        var done = await Task.WhenAll(Enumerable.Range(0, 6)
            .Select(i => Task.Run(() => (i % 2 == 0 ? one : two).MinuteAsync(), Stop)));

        Assert.Equal([FirstNight], done.SelectMany(nights => nights));
        Assert.Equal((NightRunStatus.Done, 1, 5), await database.NightRowAsync(FirstNight) is var row
            ? (row.Status, row.Attempts, row.Digests)
            : default);
        Assert.Equal(Enumerable.Repeat(1, 5), (await database.DigestsAsync(FirstNight)).Values);
    }

    private static FakeTimeProvider ClockAt(string instant) =>
        new(DateTimeOffset.Parse(instant + "Z", CultureInfo.InvariantCulture));
}
