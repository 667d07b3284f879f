using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Vehicles;

public sealed class HourTests
{
    /// <summary>
    /// Half an hour a day without spread: 100 h on 2026-08-27, 115 h on 2026-09-26 (30 days), 130 h on 2026-10-26. A service at
    /// 100 h with 50 hours to go has 20 left at the last reading and reaches them 40 days later, on 2026-12-05.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task A_limit_in_hours_counts_by_the_meter(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1990", "km");
        var task = (await app.PostOk($"/v1/vehicles/{car}/service-tasks", new { partKind = "engine-oil", lastDone = new { on = "2026-08-27" } })).Id();
        await app.PostOk($"/v1/service-tasks/{task}/limits", new { level = "replace-by", tag = "maker", from = "service", hours = 50 });
        var path = $"/v1/vehicles/{car}/hour-readings";
        await app.PostOk(path, new { on = "2026-08-27", hours = 100 });
        await app.PostOk(path, new { on = "2026-09-26", hours = 115 });
        var last = await app.PostOk(path, new { on = "2026-10-26", hours = 130.0, notedBy = "A. Keeper" });

        var line = (await app.Read($"/v1/vehicles/{car}/status-list")).Items().Single().GetProperty("limits").EnumerateArray()
            .Single(l => l.Text("limit", "unit") == "hours");
        Assert.Equal("2026-12-05", line.Text("limit", "due", "earliest"));
        Assert.Equal(("20", "20", "hours", "2026-10-26"),
            (line.Text("amountLeft", "least"), line.Text("amountLeft", "most"), line.Text("amountLeft", "unit"), line.Text("amountLeft", "countedOn")));

        Assert.Equal("130.5", (await (await app.Patch($"{path}/{last.Id()}", new { hours = 130.5 })).Json()).Text("hours"));
        Assert.Equal([("#/on", "in-the-future")], (await (await app.Post(path, new { on = "2026-11-26", hours = 140 })).Problem(422, "validation")).Errors());
        foreach (var hours in new[] { -1m, -0.4m, 1_000_000.4m, 1e12m })
        {
            Assert.Equal([("#/hours", "out-of-range")], (await (await app.Post(path, new { on = "2026-11-25", hours })).Problem(422, "validation")).Errors());
        }

        await (await app.Officer.Ask(HttpMethod.Delete, $"{path}/{last.Id()}")).Problem(428, "precondition-required");
        Assert.Equal(204, (int)(await app.Officer.Ask(HttpMethod.Delete, $"{path}/{last.Id()}", ifMatch: await app.Tag($"{path}/{last.Id()}"))).StatusCode);
        Assert.Equal(["2026-08-27", "2026-09-26"], (await app.Read(path)).Items().Select(r => r.Text("on")));
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{Guid.CreateVersion7()}/hour-readings")).Problem(404, "not-found");
        using var foreigner = await app.GivenForeigner();
        await (await foreigner.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
    }
}
