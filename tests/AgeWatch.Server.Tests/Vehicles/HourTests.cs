using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Vehicles;

public sealed class HourTests
{
    /// <summary>
    /// Half an hour a day without spread: 100 h on 2026-08-27, 115 h on 2026-09-26 (30 days), 130 h on 2026-10-26. A
    /// service at
    /// 100 h with 50 hours to go has 20 left at the last reading and reaches them 40 days later, on 2026-12-05.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task A_limit_in_hours_counts_by_the_meter(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1990", "km");
        var task = (await app.PostOk(
            $"/v1/vehicles/{car}/service-tasks",
            new { partKind = "engine-oil", lastDone = new { on = "2026-08-27" } })).Id();
        await app.PostOk(
            $"/v1/service-tasks/{task}/limits",
            new { level = "replace-by", tag = "maker", reference = "Page 4", from = "service", hours = 50 });
        var path = $"/v1/vehicles/{car}/hour-readings";
        await app.PostOk(path, new { on = "2026-08-27", hours = 100 });
        await app.PostOk(path, new { on = "2026-09-26", hours = 115 });
        var last = await app.PostOk(path, new { on = "2026-10-26", hours = 130.0, notedBy = "A. Keeper" });

        var line = (await app.Read($"/v1/vehicles/{car}/status-list"))
            .Items()
            .Single()
            .GetProperty("limits")
            .EnumerateArray()
            .Single(l => l.Text("limit", "unit") == "hours");
        Assert.Equal("2026-12-05", line.Text("limit", "due", "earliest"));
        Assert.Equal(("20", "20", "hours", "2026-10-26"),
            (
                line.Text("amountLeft", "least"), line.Text("amountLeft", "most"), line.Text("amountLeft", "unit"),
                line.Text("amountLeft", "countedOn")));

        Assert.Equal(
            "130.5", (await (await app.Patch($"{path}/{last.Id()}", new { hours = 130.5 })).Json()).Text("hours"));
        Assert.Equal(
            [("#/on", "in-the-future")],
            (await (await app.Post(path, new { on = "2026-11-26", hours = 140 })).Problem(422, "validation")).Errors());
        foreach (var hours in new[] { -1m, -0.4m, 1_000_000.4m, 1e12m })
        {
            Assert.Equal(
                [("#/hours", "out-of-range")],
                (await (await app.Post(path, new { on = "2026-11-25", hours })).Problem(422, "validation")).Errors());
        }

        await (await app.Officer.Ask(HttpMethod.Delete, $"{path}/{last.Id()}")).Problem(428, "precondition-required");
        Assert.Equal(
            204,
            (int)(await app.Officer.Ask(
                HttpMethod.Delete, $"{path}/{last.Id()}", ifMatch: await app.Tag($"{path}/{last.Id()}"))).StatusCode);
        Assert.Equal(["2026-08-27", "2026-09-26"], (await app.Read(path)).Items().Select(r => r.Text("on")));
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{Guid.CreateVersion7()}/hour-readings"))
            .Problem(404, "not-found");
        using var foreigner = await app.GivenForeigner();
        await (await foreigner.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
    }

    /// <summary>
    /// Half an hour a day again, the meter at 100 only as a fitting and a service say it. By hand, from 130 on
    /// 2026-10-26: fitted or done at
    /// 100 with 50 to go leaves 20, 40 days: 2026-12-05. Fitted on 2026-09-10 at hours unknown it is taken from the 100
    /// before; said to be 107, 27 are left, 54 days: 2026-12-19. Then 23 ran there until 130; on a car whose meter
    /// shows 1000 it has 27 left, which at half an hour a day from 1010 on 2026-11-21 are used up in 34 days:
    /// 2026-12-25.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task Hours_count_from_what_the_meter_showed_at_the_start(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1990", "km");
        await app.PostOk($"/v1/vehicles/{car}/hour-readings", new { on = "2026-09-26", hours = 115 });
        await app.PostOk($"/v1/vehicles/{car}/hour-readings", new { on = "2026-10-26", hours = 130 });
        var task = await app.PostOk(
            $"/v1/vehicles/{car}/service-tasks",
            new { partKind = "engine-oil", lastDone = new { on = "2026-08-27", hours = 100 } });
        Assert.Equal("100", task.Text("lastDone", "hours"));
        var fitted = await GivenLimitedAsync(
            app, "components",
            await app.GivenComponent(car, "radiator-hose", new { kind = "fitted", on = "2026-08-27", hours = 100 }),
            "fitting");
        var done = await GivenLimitedAsync(app, "service-tasks", task.Id(), "service");
        var unknown = await GivenLimitedAsync(
            app, "components", await app.GivenComponent(car, "heater-hose", new { kind = "fitted", on = "2026-09-10" }),
            "fitting");

        foreach (var subject in new[] { fitted, done, unknown })
        {
            Assert.Equal("2026-12-05", (await LineAsync(app, car, subject)).Text("due", "earliest"));
        }

        Assert.Contains(await QuestionsAsync(app, car, unknown), q =>
            q.Contains("hours meter", StringComparison.Ordinal));
        var fitting =
            $"/v1/components/{unknown}/fittings/{(await app.Read($"/v1/components/{unknown}/fittings")).Items().Single().Id()}";
        Assert.Equal("107", (await (await app.Patch(fitting, new { hours = 107 })).Json()).Text("hours"));
        Assert.Equal("2026-12-19", (await LineAsync(app, car, unknown)).Text("due", "earliest"));

        // On another car, by the meter there; with no hours at the end here nobody knows what it ran.
        var other = await app.GivenVehicleAsync("1990", "km");
        await app.PostOk($"/v1/vehicles/{other}/hour-readings", new { on = "2026-11-11", hours = 1005 });
        await app.PostOk($"/v1/vehicles/{other}/hour-readings", new { on = "2026-11-21", hours = 1010 });
        await app.PostOk(
            $"/v1/components/{unknown}/fittings",
            new { vehicleId = other, on = "2026-11-01", hours = 1000, takenOffOn = "2026-10-26" });
        Assert.Equal("no-basis", (await LineAsync(app, other, unknown)).Text("standing"));
        Assert.Equal("130", (await (await app.Patch(fitting, new { takenOffHours = 130 })).Json())
            .Text("takenOffHours"));
        Assert.Equal("2026-12-25", (await LineAsync(app, other, unknown)).Text("due", "earliest"));

        // What was seen while it was there says nothing of this car's meter, which would have run backwards.
        Assert.Equal(
            "120",
            (await app.PostOk(
                $"/v1/components/{unknown}/findings",
                new { on = "2026-10-06", grade = "pass", hours = 120 })).Text("hours"));
        Assert.Equal("2026-12-25", (await LineAsync(app, other, unknown)).Text("due", "earliest"));
        Assert.Equal([("#/evidence/0/hours", "not-fitted")], (await (await app.Post($"/v1/vehicles/{car}/components",
            new
            {
                partKind = "radiator-hose",
                evidence = new[] { new { kind = "document", on = "2020-01-01", hours = 3 } }
            }))
                .Problem(422, "validation")).Errors());
    }

    private static async Task<Guid> GivenLimitedAsync(TestApp app, string under, Guid id, string from)
    {
        await app.PostOk(
            $"/v1/{under}/{id}/limits",
            new { level = "replace-by", tag = "maker", reference = "Page 4", from, hours = 50 });
        return id;
    }

    private static async Task<JsonElement> LineAsync(TestApp app, Guid car, Guid subject) =>
        (await AnswerAsync(app, car, subject))
            .GetProperty("limits")
            .EnumerateArray()
            .Single(l => l.Text("unit") == "hours");

    private static async Task<string[]> QuestionsAsync(TestApp app, Guid car, Guid subject) =>
        [.. (await AnswerAsync(app, car, subject)).GetProperty("questions").EnumerateArray().Select(q => q.ToString())];

    private static async Task<JsonElement> AnswerAsync(TestApp app, Guid car, Guid subject) =>
        (await app.Read($"/v1/vehicles/{car}/due")).Items().Single(i => i.Id() == subject).GetProperty("answer");
}
