using System.Globalization;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Nights;

using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Recording;

/// <summary>After every write each stored answer is the one that would be worked out afresh.</summary>
public sealed class DependentsTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>A hose without a mark is as old as the car that it was first on, wherever it is now.</summary>
    [Theory, OnBothDatabases]
    public async Task A_corrected_built_date_reaches_parts_that_have_moved(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, GivenNights.Idle);
        var (first, second) = (await app.GivenVehicleAsync("1985"), await app.GivenVehicleAsync("1995"));
        var moved = await app.GivenComponent(first);
        var shelved = await app.GivenComponent(first, "timing-belt");
        await app.PostOk(
            $"/v1/components/{moved}/fittings",
            new { vehicleId = second, on = "2024-05-03", takenOffOn = "2024-05-01" });
        await app.PostOk($"/v1/components/{shelved}/take-off", new { on = "2024-05-01", to = "shelf" }, 200);

        Assert.Equal(200, (int)(await app.Patch($"/v1/vehicles/{first}", new { built = "1975" })).StatusCode);

        await NothingIsStaleAsync(app, "built corrected");
    }

    [Theory, OnBothDatabases]
    public async Task Random_writes_leave_nothing_stale(DatabaseKind kind)
    {
        var seed = int.Parse(Environment.GetEnvironmentVariable("HISTORY_SEED") ?? "11", CultureInfo.InvariantCulture);
        Random random = new(seed);
        await using var app = await TestApp.StartAsync(kind, null, GivenNights.Idle);
        List<Guid> cars = [];
        List<Guid> parts = [];
        for (var i = 0; i < 3; i++)
        {
            cars.Add(await app.GivenVehicleAsync($"{1970 + 10 * i}"));
            parts.Add(await app.GivenComponent(cars[i]));
            parts.Add(await app.GivenComponent(cars[i], "timing-belt"));
        }

        var day = new DateOnly(2024, 1, 1);
        Dictionary<string, int> taken = [];
        for (var step = 0; step < 100; step++)
        {
            day = day.AddDays(3);
            var (what, status) = await WriteAsync(app, random, cars, parts, day);
            taken[what] = taken.GetValueOrDefault(what) + (status < 300 ? 1 : 0);
            await NothingIsStaleAsync(app, $"HISTORY_SEED={seed}, step {step}: {what} {status}");
        }

        Assert.All(taken, kind => Assert.True(kind.Value >= 3, $"{kind.Key} was taken {kind.Value} times"));
    }

    /// <summary>
    /// A move commits between the question of who rests on the first car's built date and the lock. The car that is
    /// held by somebody else decides which of the two comes first.
    /// </summary>
    [Theory]
    [InlineData(0)]
    [InlineData(2)]
    public async Task A_move_beside_a_correction_leaves_nothing_stale(int held)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Postgres, null, GivenNights.Idle);
        List<Guid> cars = [];
        for (var i = 0; i < 3; i++)
        {
            cars.Add(await app.GivenVehicleAsync("1985"));
        }

        cars.Sort(); // Locks are taken in this order.
        var part = await app.GivenComponent(cars[0]);
        await app.PostOk(
            $"/v1/components/{part}/fittings",
            new { vehicleId = cars[1], on = "2024-05-03", takenOffOn = "2024-05-01" });
        await using var db = app.Database.Open();
        var lockedBy = await db.Database.BeginTransactionAsync(Stop);
        await db.Database.ExecuteSqlAsync($"SELECT 1 FROM vehicles WHERE id = {cars[held]} FOR UPDATE", Stop);

        var correction = () => app.Patch($"/v1/vehicles/{cars[0]}", new { built = "1975" });
        var move = () => app.Post(
            $"/v1/components/{part}/fittings",
            new { vehicleId = cars[2], on = "2025-05-03", takenOffOn = "2025-05-01" });
        var first = held == 0 ? correction() : move();
        await WaitingAsync(app, 1, first);
        var second = held == 0 ? move() : correction();
        await WaitingAsync(app, 2, second);
        await lockedBy.CommitAsync(Stop);

        Assert.True((await first).IsSuccessStatusCode);
        Assert.True((await second).IsSuccessStatusCode);
        await NothingIsStaleAsync(app, $"car {held} held");
    }

    // Until so many wait for a lock, or the request has an answer without one.
    private static async Task WaitingAsync(TestApp app, int count, Task<HttpResponseMessage> request)
    {
        // A connection of its own: what others do is seen once in a transaction.
        await using var db = app.Database.Open();
        while (!request.IsCompleted && (await db.Database.SqlQuery<int>(
            $"""
            SELECT count(*)::int AS "Value" FROM pg_stat_activity
            WHERE datname = current_database() AND wait_event_type = 'Lock'
            """).ToListAsync(Stop))[0] < count)
        {
            await Task.Delay(20, Stop);
        }
    }

    private static async Task<(string What, int Status)> WriteAsync(
        TestApp app, Random random, List<Guid> cars, List<Guid> parts, DateOnly day)
    {
        var (car, part) = (cars[random.Next(cars.Count)], parts[random.Next(parts.Count)]);
        var on = day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        var (what, response) = random.Next(7) switch
        {
            0 => ("built", await app.Patch($"/v1/vehicles/{car}", new { built = $"{random.Next(1960, 1999)}" })),
            1 => ("reading", await app.Post(
                $"/v1/vehicles/{car}/odometer-readings",
                new { on, value = 50000 + (day.DayNumber - 738_000) * 10, unit = "mi" })),
            2 => ("standing", await app.Post(
                $"/v1/vehicles/{car}/standing-periods", new { from = on, to = day.AddDays(2) })),
            3 => ("finding", await app.Post($"/v1/components/{part}/findings", new { on, grade = "watch" })),
            4 => ("off", await app.Post($"/v1/components/{part}/take-off", new { on, to = "shelf" })),
            _ => ("move", await app.Post(
                $"/v1/components/{part}/fittings", new { vehicleId = car, on, takenOffOn = on })),
        };
        return (what, (int)response.StatusCode);
    }

    private static async Task NothingIsStaleAsync(TestApp app, string after)
    {
        var again = await app.InScopeAsync(async services =>
        {
            var db = services.GetRequiredService<AgeWatchContext>();
            var clubId = await db.Clubs.Select(c => c.ClubId).SingleAsync(Stop);
            var today = await services.GetRequiredService<FactWriter>().TodayAsync(clubId, Stop);
            var all = default(RecomputeCount);
            await services.GetRequiredService<NightAssessment>().FullAsync(
                clubId, today,
                (count, _) =>
                {
                    all += count;
                    return Task.CompletedTask;
                }, Stop);
            return all;
        });
        Assert.NotEqual(0, again.Assessed);
        Assert.True(again.Written == 0, $"{after}: {again.Written} stored answers were stale");
    }
}
