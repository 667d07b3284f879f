using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Vehicles;

/// <summary>
/// A car that is said to run 3,652.5 km a year, 10 km a day (365.25 days to the Julian year), has its oil changed at
/// 50,000 km on 2026-11-01 with 1,000 km to go: 100 days on is 2027-02-09.
/// </summary>
public sealed class PeriodTests
{
    /// <summary>By hand: 300 km in the 30 days to 1 December, 600 km on the trip, 100 km in 10 days more:
    /// 2026-12-11.</summary>
    [Theory, OnBothDatabases]
    public async Task A_planned_trip_makes_the_early_day_earlier(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (car, task) = await GivenCarAsync(app);
        Assert.Equal("2027-02-09", await EarlyAsync(app, car, task));

        var trip = await app.PostOk(
            $"/v1/vehicles/{car}/planned-trips",
            new { from = "2026-12-01", distance = new { value = 600, unit = "km" }, name = "The coast" });

        Assert.Equal(("2026-12-01", "2026-12-01", "600", "The coast"),
            (trip.Text("from"), trip.Text("to"), trip.Text("distance", "value"), trip.Text("name")));
        Assert.Equal("2026-12-11", await EarlyAsync(app, car, task));
        Assert.Equal("2026-12-11", (await app.Read($"/v1/due?vehicleId={car}"))
            .Items()
            .Single(i => i.GetProperty("subjectId").GetGuid() == task)
            .Text("dueEarliest"));

        var path = $"/v1/vehicles/{car}/planned-trips/{trip.Id()}";
        Assert.Equal("2026-12-02", (await (await app.Patch(path, new { to = "2026-12-02" })).Json()).Text("to"));
        await (await app.Officer.Ask(HttpMethod.Patch, path, "{}")).Problem(428, "precondition-required");
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: await app.Tag(path))).StatusCode);
        Assert.Equal("2027-02-09", await EarlyAsync(app, car, task));
    }

    /// <summary>31 days of December without a kilometre: 2027-02-09 becomes 2027-03-12. No day that is counted in
    /// months moves.</summary>
    [Theory, OnBothDatabases]
    public async Task Standing_changes_a_distance_and_no_age(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (car, task) = await GivenCarAsync(app);
        var hose = await app.GivenComponent(car, "radiator-hose", new { kind = "fitted", on = "2024-03-01" });
        var before = await DueAsync(app, car);

        var made = await app.PostOk(
            $"/v1/vehicles/{car}/standing-periods", new { from = "2026-12-01", to = "2026-12-31" });

        var after = await DueAsync(app, car);
        Assert.Equal("2027-03-12", await EarlyAsync(app, car, task));
        Assert.Equal(before[hose].Text("answer", "born"), after[hose].Text("answer", "born"));
        foreach (var subject in new[] { hose, task })
        {
            Assert.NotEmpty(InMonths(after[subject]));
            Assert.Equal(InMonths(before[subject]), InMonths(after[subject]));
        }

        var path = $"/v1/vehicles/{car}/standing-periods/{made.Id()}";
        Assert.Equal(made.ToString(), (await app.Read(path)).ToString());
        Assert.Null((await (await app.Patch(path, new { to = (object?)null })).Json()).Text("to"));
        // Still standing: nothing is promised beyond today.
        Assert.Equal("2027-02-09", await EarlyAsync(app, car, task));
        Assert.Single((await app.Read($"/v1/vehicles/{car}/standing-periods")).Items());
        Assert.Empty((await app.Read($"/v1/vehicles/{car}/planned-trips")).Items());
    }

    [Theory, OnBothDatabases]
    public async Task What_cannot_be_is_refused_and_other_cars_are_not_touched(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var other = await app.GivenVehicleAsync();
        var standing = $"/v1/vehicles/{car}/standing-periods";

        Assert.Equal(
            [("#/to", "before-from")],
            (await (await app.Post(standing, new { from = "2026-12-01", to = "2026-11-30" }))
                .Problem(422, "validation")).Errors());
        Assert.Equal([("#/to", "before-from"), ("#/distance", "out-of-range")],
            (await (
                await app.Post(
                    $"/v1/vehicles/{car}/planned-trips",
                    new { from = "2026-12-01", to = "2026-11-30", distance = Given.Mi(0) }))
                        .Problem(422, "validation")).Errors());

        // The calendar's end is no fault.
        await app.PostOk(
            $"/v1/vehicles/{(await GivenCarAsync(app)).Car}/standing-periods", new { from = "9999-12-31" });
        var id = (await app.PostOk(standing, new { from = "2026-12-01" })).Id();
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{other}/standing-periods/{id}"))
            .Problem(404, "not-found");
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/planned-trips/{id}"))
            .Problem(404, "not-found");
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{Guid.CreateVersion7()}/planned-trips"))
            .Problem(404, "not-found");
        using var foreigner = await app.GivenForeigner();
        await (await foreigner.Ask(HttpMethod.Get, $"{standing}/{id}")).Problem(404, "not-found");
    }

    private static async Task<(Guid Car, Guid Task)> GivenCarAsync(TestApp app)
    {
        var car = await app.GivenAsync("/v1/vehicles", new
        {
            name = "Test car",
            distanceUnit = "km",
            built = "1990",
            declaredPerYear = new { value = 3652.5, unit = "km" },
        });
        var task = (await app.PostOk($"/v1/vehicles/{car}/service-tasks", new
        {
            partKind = "engine-oil",
            lastDone = new { on = "2026-11-01", odometer = new { value = 50_000, unit = "km" } },
        })).Id();
        await app.PostOk($"/v1/service-tasks/{task}/limits", new
        {
            level = "replace-by",
            tag = "maker",
            reference = "Page 4",
            from = "service",
            distance = new { value = 1000, unit = "km" },
        });
        return (car, task);
    }

    private static async Task<Dictionary<Guid, JsonElement>> DueAsync(TestApp app, Guid car) =>
        (await app.Read($"/v1/vehicles/{car}/due")).Items().ToDictionary(item => item.Id());

    private static async Task<string?> EarlyAsync(TestApp app, Guid car, Guid task) => (await DueAsync(app, car))[task]
        .GetProperty("answer").GetProperty("limits").EnumerateArray()
        .Single(l => l.Text("tag") == "maker" && l.Text("unit") == "km").Text("due", "earliest");

    private static string[] InMonths(JsonElement item) =>
        [.. item.GetProperty("answer").GetProperty("limits").EnumerateArray()
        .Where(l => l.Text("unit") == "months").Select(l => l.ToString())];
}
