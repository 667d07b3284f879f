using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Due;

public sealed class DueListTests
{
    private static readonly string[] Hazards = ["catastrophic", "critical", "marginal", "negligible"];
    private static readonly string[] States = ["stop-use", "overdue", "unknown", "inspect-due", "due-soon", "in-life"];

    [Theory, OnBothDatabases]
    public async Task The_list_of_the_club_can_be_read_page_by_page(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        foreach (var (built, name) in new[] { ("1987-05", "Old car"), ("2025-05", "Young car") })
        {
            var car = await app.GivenVehicleAsync(built, name: name);
            foreach (var partKind in new[] { "brake-hose-flexible", "timing-belt", "tyre-road", "engine-mounts",
            "v-belt" })
            {
                await app.GivenAsync($"/v1/vehicles/{car}/components", new { partKind, original = true });
            }
        }

        var whole = await (await app.Officer.Ask(HttpMethod.Get, "/v1/due?limit=500")).Json();
        List<string> met = [];
        for (string? address = "/v1/due?limit=1"; address is not null;)
        {
            var page = await (await app.Officer.Ask(HttpMethod.Get, address)).Json();
            met.AddRange(page.GetProperty("items")
                .EnumerateArray()
                .Select(item => item.GetProperty("subjectId").GetString()!));
            address = page.TryGetProperty("next", out var next) ? next.GetString() : null;
        }

        Assert.Equal(10, met.Count);
        Assert.Equal(whole.GetProperty("items")
            .EnumerateArray()
            .Select(item => item.GetProperty("subjectId").GetString()!), met);
    }

    /// <summary>
    /// The order is worked out here from what the list says of each, by the rule of the design: hazard, state, the
    /// mandatory first, the certain first, the earliest day (none before any), the subject.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task Every_list_of_a_club_has_the_one_order(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var car = await app.GivenVehicleAsync("1987-05");
        foreach (var partKind in new[] { "timing-belt", "brake-hose-flexible", "v-belt", "tyre-road", "engine-mounts" })
        {
            await app.GivenAsync($"/v1/vehicles/{car}/components", new { partKind, original = true });
            foreach (var fitted in new[] { "2026-09-01", "2019-03-01", "2022-06-01" })
            {
                await app.GivenAsync(
                    $"/v1/vehicles/{car}/components",
                    new { partKind, original = false, evidence = new[] { new { kind = "fitted", on = fitted } } });
            }
        }

        // Of two alike, the later one by its id becomes mandatory.
        var belt = await app.GivenComponent(car, "v-belt", new { kind = "fitted", on = "2019-03-01" });
        await app.PostOk(
            $"/v1/components/{belt}/limits",
            new { level = "replace-by", tag = "maker", reference = "Manual, p. 4", from = "fitting", months = 60 });

        var club = await (await app.Officer.Ask(HttpMethod.Get, "/v1/due?limit=500")).Json();
        var rows = club.GetProperty("items").EnumerateArray().ToList();
        string[] expected = [.. rows
            .OrderBy(row => Array.IndexOf(Hazards, row.GetProperty("hazard").GetString()))
            .ThenBy(row => Array.IndexOf(States, row.GetProperty("state").GetString()))
            .ThenBy(row => row.Text("force") == "mandatory" ? 0 : 1)
            .ThenBy(row => row.GetProperty("certainty").GetString() == "certain" ? 0 : 1)
            .ThenBy(row =>
                row.TryGetProperty("dueEarliest", out var day) ? day.GetString() : "", StringComparer.Ordinal)
            .ThenBy(row => row.GetProperty("subjectId").GetString(), StringComparer.Ordinal)
            .Select(row => row.GetProperty("subjectId").GetString()!)];

        Assert.Equal(21, expected.Length);
        Assert.True(rows.Select(row => (row.GetProperty("hazard").GetString(), row.GetProperty("state").GetString()))
            .Distinct()
            .Count() > 3);
        Assert.Equal(["mandatory", "recommended"], rows.Select(row => row.Text("force")).Distinct().Order());
        Assert.Equal(expected, rows.Select(row => row.GetProperty("subjectId").GetString()!));
        var force = await app.Read("/v1/due?limit=500&force=mandatory");
        Assert.Equal(
            rows.Where(row => row.Text("force") == "mandatory").Select(row => row.Text("subjectId")),
            force.Items().Select(row => row.Text("subjectId")));
        Assert.Equal(expected, await OrderAsync($"/v1/vehicles/{car}/due"));
        Assert.Equal(expected, await OrderAsync($"/v1/vehicles/{car}/status-list"));

        async Task<IEnumerable<string>> OrderAsync(string address) =>
            (await (await app.Officer.Ask(HttpMethod.Get, address)).Json()).GetProperty("items").EnumerateArray()
            .Select(item => item.GetProperty("id").GetString()!).ToList();
    }
}
