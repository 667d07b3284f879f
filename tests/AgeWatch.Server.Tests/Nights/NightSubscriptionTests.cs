using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using MimeKit;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Nights;

public sealed class NightSubscriptionTests
{
    private static readonly DateOnly Friday = new(2026, 11, 27);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task A_vehicle_subscribed_to_comes_in_the_same_digest_and_says_whose_it_is(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(3);
        await app.GivenAsync(
            "/v1/subscriptions", new { memberId = await MemberAsync(app, 1), vehicleId = await CarAsync(app, 2) });

        await NightAsync(app, FirstNight);

        var text = await TextAsync(app, 1, FirstNight);
        Assert.Contains("Car 1", text, StringComparison.Ordinal);
        Assert.Contains("Car 2", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Car 3", text, StringComparison.Ordinal);
        Assert.Contains("Owner: Member 2", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Owner: Member 1", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Car 1", await TextAsync(app, 2, FirstNight), StringComparison.Ordinal);
    }

    /// <summary>The catalogue has flexible brake hoses as catastrophic and timing belts as critical.</summary>
    [Theory, OnBothDatabases]
    public async Task The_whole_club_is_told_of_from_the_hazard_asked_for(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(3);
        await app.GivenAsync(
            "/v1/subscriptions",
            new { memberId = await MemberAsync(app, 1), wholeClub = true, leastHazard = "catastrophic" });

        await NightAsync(app, FirstNight);

        await using var db = app.Database.Open();
        var told = from notice in db.Notices
                   join digest in db.Digests on notice.DigestId equals digest.Id
                   where digest.Recipient == "member1@club.example"
                   join component in db.Components on notice.SubjectId equals component.Id
                   join vehicle in db.Vehicles on component.VehicleId equals vehicle.Id
                   orderby vehicle.Name, component.PartKind
                   select vehicle.Name + " " + component.PartKind;
        Assert.Equal(
            [
                "Car 1 brake-hose-flexible", "Car 1 timing-belt", "Car 2 brake-hose-flexible",
                "Car 3 brake-hose-flexible"],
            await told.ToListAsync(Stop));
    }

    /// <summary>Cars built in 1987 with parts as old as they are: all are overdue, until the hose of car 2 is read as
    /// one of 2026.</summary>
    [Theory, OnBothDatabases]
    public async Task From_the_state_asked_for_and_once_more_when_it_has_left_it(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(3);
        await app.GivenAsync(
            "/v1/subscriptions",
            new { memberId = await MemberAsync(app, 1), vehicleId = await CarAsync(app, 2), leastState = "overdue" });
        await app.GivenAsync(
            "/v1/subscriptions",
            new { memberId = await MemberAsync(app, 1), vehicleId = await CarAsync(app, 3), leastState = "stop-use" });

        await NightAsync(app, FirstNight);
        var first = await TextAsync(app, 1, FirstNight);
        await using (var db = app.Database.Open())
        {
            var car = await CarAsync(app, 2);
            var hose = await db.Components.SingleAsync(c =>
                c.VehicleId == car && c.PartKind == "brake-hose-flexible", Stop);
            hose.Original = false;
            await db.SaveChangesAsync(Stop);
            await app.GivenAsync(
                $"/v1/components/{hose.Id}/evidence", new { kind = "mark", text = "May 2026", on = "2026-11-01" });
        }

        await NightAsync(app, FirstNight.AddDays(7));
        var second = await TextAsync(app, 1, FirstNight.AddDays(7));

        Assert.Contains("Car 2", first, StringComparison.Ordinal);
        Assert.DoesNotContain("Car 3", first, StringComparison.Ordinal);
        Assert.Contains("MOVED OFF YOUR LIST", second, StringComparison.Ordinal);
        Assert.Contains(
            "Car 2", second[second.IndexOf("MOVED OFF", StringComparison.Ordinal)..], StringComparison.Ordinal);
    }

    /// <summary>Nobody has a digest of their own here, so that what comes, comes from the subscription to Car
    /// 7.</summary>
    [Theory, OnBothDatabases]
    public async Task It_has_a_rhythm_of_its_own_and_no_way_past_what_stops_the_mail(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(7);
        await using (var db = app.Database.Open())
        {
            var members = await db.Members.OrderBy(m => m.Name).ToListAsync(Stop);
            members.ForEach(member => member.DigestRhythm = DigestRhythm.Never);
            members[4].PausedUntil = Friday.AddDays(1);
            members[5].UnsubscribedAt = DateTime.UnixEpoch;
            await db.SaveChangesAsync(Stop);
        }

        var car = await CarAsync(app, 7);
        await SubscribeAsync(1, "nightly", null);
        await SubscribeAsync(2, "weekly", null);
        await SubscribeAsync(3, "nightly", "2026-11-27");
        await SubscribeAsync(4, "never", null);
        await SubscribeAsync(5, "nightly", null);
        await SubscribeAsync(6, "nightly", null);

        await NightAsync(app, FirstNight);
        await NightAsync(app, Friday);

        Assert.Equal(["member1@club.example Member"], (await app.Database.DigestsAsync(FirstNight)).Keys);
        Assert.Equal(
            ["member2@club.example Member", "member3@club.example Member"],
            (await app.Database.DigestsAsync(Friday)).Keys.Order());
        var text = await TextAsync(app, 2, Friday);
        Assert.Contains("Car 7", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Car 2", text, StringComparison.Ordinal);

        async Task SubscribeAsync(int member, string rhythm, string? pausedUntil) => await app.GivenAsync(
            "/v1/subscriptions",
            new
            {
                memberId = await MemberAsync(app, member),
                vehicleId = car,
                rhythm,
                weekday = "friday",
                pausedUntil
            });
    }

    [Theory, OnBothDatabases]
    public async Task A_car_that_changes_hands_is_no_more_told_of_to_whoever_had_it(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(3);
        var car = await CarAsync(app, 1);
        await app.GivenAsync("/v1/subscriptions", new { memberId = await MemberAsync(app, 1), vehicleId = car });
        await app.GivenAsync("/v1/subscriptions", new { memberId = await MemberAsync(app, 3), vehicleId = car });

        var vehicle = await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}");
        var sold = await app.Officer.Ask(
            HttpMethod.Patch, $"/v1/vehicles/{car}", $$"""{"memberId":"{{await MemberAsync(app, 2)}}"}""", ifMatch: vehicle.Headers.ETag!.ToString());
        Assert.Equal(200, (int)sold.StatusCode);
        await NightAsync(app, FirstNight);

        Assert.DoesNotContain("member1@club.example Member", (await app.Database.DigestsAsync(FirstNight)).Keys);
        Assert.Contains("Car 1", await TextAsync(app, 2, FirstNight), StringComparison.Ordinal);
        Assert.Contains("Car 1", await TextAsync(app, 3, FirstNight), StringComparison.Ordinal);
    }

    private static async Task NightAsync(TestApp app, DateOnly day)
    {
        app.Clock.MoveTo($"{day:yyyy-MM-dd}T03:30:00");
        Assert.Equal([day], await app.MinuteAsync());
    }

    private static async Task<string> TextAsync(TestApp app, int member, DateOnly day)
    {
        await using var db = app.Database.Open();
        var bytes = await db.Digests.Where(d =>
            d.Recipient == $"member{member}@club.example" && d.LocalDate == day && d.Kind == DigestKind.Member)
            .Select(d => d.Message).SingleAsync(Stop);
        using var mail = MimeMessage.Load(new MemoryStream(bytes), Stop);
        return mail.TextBody!;
    }

    private static async Task<Guid> MemberAsync(TestApp app, int number)
    {
        await using var db = app.Database.Open();
        return await db.Members.Where(m => m.Name == $"Member {number}").Select(m => m.Id).SingleAsync(Stop);
    }

    private static async Task<Guid> CarAsync(TestApp app, int number)
    {
        await using var db = app.Database.Open();
        return await db.Vehicles.Where(v => v.Name == $"Car {number}").Select(v => v.Id).SingleAsync(Stop);
    }
}
