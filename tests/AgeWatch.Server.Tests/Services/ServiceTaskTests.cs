using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Services;

public sealed class ServiceTaskTests
{
    [Theory, OnBothDatabases]
    public async Task A_task_begins_with_its_last_time_and_goes_on(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();

        var response = await app.Post($"/v1/vehicles/{car}/service-tasks", new
        {
            partKind = "engine-oil",
            label = "Oil and filter",
            lastDone = new { on = "2025-04-01", odometer = Given.Mi(61200), notedBy = "A. Keeper" },
        });

        Assert.Equal(201, (int)response.StatusCode);
        var made = await response.Json();
        var path = $"/v1/service-tasks/{made.Id()}";
        Assert.Equal(made.ToString(), (await app.Read(path)).ToString());
        Assert.Equal(("engine-oil", "2025-04-01", "61200", "A. Keeper"),
            (
                made.Text("partKind"), made.Text("lastDone", "on"), made.Text("lastDone", "odometer", "value"),
                made.Text("lastDone", "notedBy")));

        var before = await app.Tag(path);
        var record = await app.PostOk($"{path}/records", new { on = "2026-04-01", odometer = Given.Mi(64000) });
        await app.PostOk($"{path}/records", new { on = "2024-04-01" });
        Assert.NotEqual(before, await app.Tag(path));
        Assert.Equal("2026-04-01", (await app.Read(path)).Text("lastDone", "on"));
        Assert.Equal(["2026-04-01", "2025-04-01", "2024-04-01"], (await app.Read($"{path}/records"))
            .Items()
            .Select(r => r.Text("on")));
        Assert.Equal("2026-04-01", (await app.Read($"/v1/vehicles/{car}/service-tasks"))
            .Items()
            .Single()
            .Text("lastDone", "on"));

        Assert.Equal(
            "2026-04-02",
            (await (await app.Patch($"{path}/records/{record.Id()}", new { on = "2026-04-02" })).Json()).Text("on"));
        Assert.Equal(
            204,
            (int)(await app.Officer.Ask(HttpMethod.Delete, $"{path}/records/{record.Id()}", ifMatch: "*")).StatusCode);
        Assert.Equal("2025-04-01", (await app.Read(path)).Text("lastDone", "on"));
    }

    [Theory, OnBothDatabases]
    public async Task A_task_changes_and_goes(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        await app.PostOk($"/v1/vehicles/{car}/service-tasks", new { partKind = "engine-oil", reference = "S-1" });
        var task = await app.GivenServiceTask(car, "brake-fluid-glycol");
        var path = $"/v1/service-tasks/{task}";

        Assert.Equal(
            "every spring", (await (await app.Patch(path, new { notes = "every spring" })).Json()).Text("notes"));
        await (await app.Patch(path, new { reference = "S-1" })).Problem(409, "conflict");
        Assert.Equal(
            [("#/lastDone", "fixed")],
            (await (await app.Patch(path, new { lastDone = new { on = "2025-01-01" } }))
                .Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/partKind", "unknown-part-kind")],
            (await (await app.Patch(path, new { partKind = "x" })).Problem(422, "validation")).Errors());
        await (await app.Officer.Ask(HttpMethod.Delete, path)).Problem(428, "precondition-required");
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: await app.Tag(path))).StatusCode);
        await (await app.Officer.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
        Assert.Equal(["engine-oil"], (await app.Read($"/v1/vehicles/{car}/service-tasks"))
            .Items()
            .Select(t => t.Text("partKind")));
        Assert.Empty((await app.Read($"/v1/vehicles/{car}/service-tasks?partKind=brake-fluid-glycol")).Items());
    }

    [Fact]
    public async Task Work_is_not_done_tomorrow()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync();
        var task = await app.GivenServiceTask(car);

        Assert.Equal([("#/partKind", "unknown-part-kind"), ("#/lastDone/on", "in-the-future")],
            (await (
                await app.Post(
                    $"/v1/vehicles/{car}/service-tasks",
                    new { partKind = "x", lastDone = new { on = "2026-11-26" } }))
                        .Problem(422, "validation")).Errors());
        Assert.Equal([("#/on", "in-the-future")],
            (await (await app.Post($"/v1/service-tasks/{task}/records", new { on = "2026-11-26" }))
                .Problem(422, "validation")).Errors());
        await (await app.Post($"/v1/vehicles/{Guid.CreateVersion7()}/service-tasks", new { partKind = "engine-oil" }))
            .Problem(404, "not-found");
    }

    [Theory, OnBothDatabases]
    public async Task Of_twenty_changes_on_one_tag_one_is_made(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var path = $"/v1/service-tasks/{await app.GivenServiceTask(await app.GivenVehicleAsync())}";
        var tag = await app.Tag(path);

        var answers = await Task.WhenAll(Enumerable.Range(0, 20).Select(i =>
            app.Officer.Ask(HttpMethod.Patch, path, $$"""{ "label": "change {{i}}" }""", tag)));

        Assert.Single(answers, answer => answer.IsSuccessStatusCode);
        Assert.Equal(19, answers.Count(answer => (int)answer.StatusCode == 412));
    }
}
