using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Vehicles;

/// <summary>
/// Oil changed on 2026-11-01 with 1,000 km to go. By hand: at 3,652.5 km a year, 10 km a day (365.25 days to the Julian
/// year), they are used up 100 days on, 2027-02-09; at 7,305 in 50, on 2026-12-21.
/// </summary>
public sealed class UsualDistanceTests
{
    [Theory, OnBothDatabases]
    public async Task The_clubs_figure_counts_where_nothing_better_is_known(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await GivenCarAsync(app, null);
        var declared = await GivenCarAsync(app, Km(7305));
        var van = await GivenCarAsync(app, null, "van");
        Assert.Equal("no-basis", (await LineAsync(app, car)).Text("standing"));

        var usual = await app.PostOk(
            "/v1/usual-distances", new { kind = "car", perYear = Km(3652.5), note = "What 19 of 20 do not exceed" });
        var path = $"/v1/usual-distances/{usual.Id()}";

        var line = await LineAsync(app, car);
        Assert.Equal(("2027-02-09", null), (line.Text("due", "earliest"), line.Text("due", "latest")));
        Assert.Equal("2027-02-09", (await StoredAsync(app, car)).Text("dueEarliest"));
        var due = await app.Read($"/v1/vehicles/{car}/due");
        var answer = due.Items().Single().GetProperty("answer");
        Assert.Contains(answer.GetProperty("reasons").EnumerateArray(), r =>
            r.ToString().Contains("club's figure for such vehicles", StringComparison.Ordinal));

        // The odometer is the vehicle's: it is asked about once, with what the answers lead to.
        Assert.Empty(answer.GetProperty("questions").EnumerateArray());
        var asked = Assert.Single(due.GetProperty("asks").EnumerateArray());
        Assert.Contains("odometer", asked.Text("question"), StringComparison.Ordinal);
        Assert.NotEmpty(Assert.Single(asked.GetProperty("decides").EnumerateArray()).GetProperty("leads")
            .EnumerateArray());
        Assert.Equal("2026-12-21", (await LineAsync(app, declared)).Text("due", "earliest"));
        Assert.Equal("no-basis", (await LineAsync(app, van)).Text("standing"));

        Assert.Equal("7305", (await (await app.Patch(path, new { perYear = Km(7305) })).Json())
            .Text("perYear", "value"));
        Assert.Equal("2026-12-21", (await StoredAsync(app, car)).Text("dueEarliest"));
        Assert.Equal(
            [("#/kind", "fixed")],
            (await (await app.Patch(path, new { kind = "van" })).Problem(422, "validation")).Errors());
        await (await app.Post("/v1/usual-distances", new { kind = "car", perYear = Km(1) })).Problem(409, "conflict");
        Assert.Equal(
            [("#/perYear", "out-of-range")],
            (await (await app.Post("/v1/usual-distances", new { kind = "van", perYear = Km(0) }))
                .Problem(422, "validation")).Errors());
        Assert.Equal(usual.Id(), (await app.Read("/v1/usual-distances")).Items().Single().Id());
        using var foreigner = await app.GivenForeigner();
        await (await foreigner.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
        using var reader = await app.GivenKeyAsync("reader");
        Assert.Equal(403, (int)(await reader.Ask(HttpMethod.Delete, path, ifMatch: await app.Tag(path))).StatusCode);

        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: await app.Tag(path))).StatusCode);
        Assert.Equal("no-basis", (await LineAsync(app, car)).Text("standing"));
        Assert.Equal("unknown", (await StoredAsync(app, car)).Text("state"));
    }

    /// <summary>By hand: 10, 20 and 30 km a day without spread are 3,652.5, 7,305 and 10,957.5 km a year. Of three the
    /// greatest stands for 95 of 100.</summary>
    [Theory, OnBothDatabases]
    public async Task The_clubs_vehicles_suggest_a_figure(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        foreach (var a in new[] { 10, 20, 30 })
        {
            var car = await app.GivenVehicleAsync("1990", "km");
            await app.GivenReadingAsync(car, "2026-08-27", 1000, "km");
            await app.GivenReadingAsync(car, "2026-09-26", 1000 + 30 * a, "km");
            await app.GivenReadingAsync(car, "2026-10-26", 1000 + 60 * a, "km");
        }

        var two = await app.GivenVehicleAsync("1990", "km"); // One step has no rate that others could lean on.
        await app.GivenReadingAsync(two, "2026-08-27", 1000, "km");
        await app.GivenReadingAsync(two, "2026-09-26", 9000, "km");

        var suggested = await app.Read("/v1/usual-distances/suggestions");

        Assert.Equal("0.95", suggested.Text("share"));
        var cars = suggested.Items().Single();
        Assert.Equal(("car", "3", "10958", "7305", "km"),
            (
                cars.Text("kind"), cars.Text("vehicles"), cars.Text("perYear", "value"), cars.Text("median", "value"),
                cars.Text("perYear", "unit")));
    }

    private static object Km(double value) => new { value, unit = "km" };

    private static async Task<Guid> GivenCarAsync(TestApp app, object? declaredPerYear, string kind = "car")
    {
        var car = await app.GivenAsync(
            "/v1/vehicles", new { name = "Test car", kind, distanceUnit = "km", built = "1990", declaredPerYear });
        var task = (await app.PostOk($"/v1/vehicles/{car}/service-tasks", new
        {
            partKind = "engine-oil",
            lastDone = new { on = "2026-11-01", odometer = Km(50_000) },
        })).Id();
        await app.PostOk(
            $"/v1/service-tasks/{task}/limits",
            new { level = "replace-by", tag = "maker", reference = "Page 4", from = "service", distance = Km(1000) });
        return car;
    }

    private static async Task<JsonElement> LineAsync(TestApp app, Guid car) =>
        (await app.Read($"/v1/vehicles/{car}/due"))
            .Items()
            .Single()
            .GetProperty("answer")
            .GetProperty("limits")
            .EnumerateArray()
        .Single(l => l.Text("tag") == "maker" && l.Text("unit") == "km");

    private static async Task<JsonElement> StoredAsync(TestApp app, Guid car) =>
        (await app.Read($"/v1/due?vehicleId={car}")).Items().Single();
}
