using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Due;

public sealed class DueListTests
{
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
}
