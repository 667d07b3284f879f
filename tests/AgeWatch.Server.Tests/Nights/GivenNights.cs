using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Nights;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>Clubs for nights, written straight into the database, and nights without Hangfire.</summary>
internal static class GivenNights
{
    public static readonly DateOnly FirstNight = new(2026, 11, 26);

    /// <summary>Serves without working, so that the test alone rings; the club's zone is UTC and its night at
    /// 03:30.</summary>
    public static readonly (string Name, string Value) Idle = ("AGEWATCH_ROLE", "api");

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public static async Task<Guid> ClubIdAsync(this TestDatabase database)
    {
        await using var db = database.Open();
        return await db.Clubs.Select(c => c.ClubId).SingleAsync(Stop);
    }

    /// <summary>Members with one car each, every car with original brake hoses of 1987: long past any limit.</summary>
    public static async Task GivenOwnersAsync(this TestDatabase database, int count, bool withOfficer = false) =>
        await database.GivenOwnersAsync(await database.ClubIdAsync(), count, "club.example", withOfficer);

    public static async Task GivenOwnersAsync(
        this TestDatabase database, Guid clubId, int count, string domain, bool withOfficer = false)
    {
        await using var db = database.Open(clubId);
        for (var i = 1; i <= count; i++)
        {
            Member member = new()
            {
                ClubId = clubId,
                Id = Guid.CreateVersion7(),
                Name = $"Member {i}",
                Email = $"member{i}@{domain}",
                IsOfficer = withOfficer && i == 1,
                CreatedAt = DateTime.UnixEpoch,
            };
            Vehicle vehicle = new()
            {
                ClubId = clubId,
                Id = Guid.CreateVersion7(),
                MemberId = member.Id,
                Name = $"Car {i}",
                DistanceUnit = DistanceUnit.Mile,
                CreatedAt = DateTime.UnixEpoch,
            };
            vehicle.SetBuilt(DateSpan.Year(1987));
            db.AddRange(member, vehicle);
            db.AddRange(new[] { "brake-hose-flexible", "timing-belt" }.Select(kind => new Component
            {
                ClubId = clubId,
                Id = Guid.CreateVersion7(),
                VehicleId = vehicle.Id,
                PartKind = kind,
                Original = true,
                CreatedAt = DateTime.UnixEpoch,
            }));
        }

        await db.SaveChangesAsync(Stop);
    }

    public static Task<IReadOnlyList<DueNight>> RingAsync(this TestApp app) =>
        app.InScopeAsync(services => services.GetRequiredService<PendingNights>().FindAsync(Stop));

    public static Task<bool> NightAsync(this TestApp app, DueNight night, CancellationToken? stop = null) =>
        app.InScopeAsync(services =>
            services.GetRequiredService<NightJob>().RunAsync(night.ClubId, night.LocalDate, stop ?? Stop));

    /// <summary>What a worker does each minute: rings, and works on what is wanted.</summary>
    public static async Task<IReadOnlyList<DateOnly>> MinuteAsync(this TestApp app)
    {
        List<DateOnly> done = [];
        foreach (var night in await app.RingAsync())
        {
            if (await app.NightAsync(night))
            {
                done.Add(night.LocalDate);
            }
        }

        return done;
    }

    public static async Task<NightRun> NightRowAsync(this TestDatabase database, DateOnly day)
    {
        await using var db = database.Open();
        return await db.NightRuns.AsNoTracking().SingleAsync(n => n.LocalDate == day, Stop);
    }

    /// <summary>Who has how many digests of the day.</summary>
    public static async Task<Dictionary<string, int>> DigestsAsync(this TestDatabase database, DateOnly day)
    {
        await using var db = database.Open();
        return (await db.Digests.AsNoTracking()
            .Where(d => d.LocalDate == day)
            .Select(d => new { d.Recipient, d.Kind })
            .ToListAsync(Stop))
            .GroupBy(d => $"{d.Recipient} {d.Kind}").ToDictionary(g => g.Key, g => g.Count());
    }

    /// <summary>Forward or back.</summary>
    public static void MoveTo(this FakeTimeProvider clock, string instant) =>
        clock.AdjustTime(DateTimeOffset.Parse(instant + "Z", CultureInfo.InvariantCulture));
}
