using System.Text.Json;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Vehicles;

/// <summary>
/// A hose as old as its car of 2020-01-01 with 120 months to go is due on 2030-01-01, 3,653 days on; the first 1,461 of
/// them end with 2023. At 25 °C from 2024 on it ages exp[Ea/8.617333262e-5·(1/293.15 − 1/298.15)] times as fast
/// (NIST/SEMATECH 8.1.5.1):
/// 1.88385 at 0.954 eV, which is the 22 kcal/mol of nitrile rubber's elongation (Sandia 1993), 2.01315 at 1.054,
/// 1.76285 at 0.854.
/// </summary>
public sealed class TemperatureTests
{
    private static readonly object Nitrile = new
    {
        activationEnergy = 0.954,
        spread = 0.1,
        source = "Sandia 1993, nitrile, elongation"
    };

    /// <summary>By hand: 2,192 days are left at the end of 2023. 2192 / 1.88385 = 1163.6; / 2.01315 = 1088.8; / 1.76285
    /// = 1243.4 days on.</summary>
    [Theory, OnBothDatabases]
    public async Task Heat_on_record_counts_once_the_vehicle_says_so(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, GivenNights.Idle);
        var (car, hose) = await GivenCarAsync(app);
        var path = $"/v1/vehicles/{car}/temperatures";
        var warm = await app.PostOk(path, new { from = "2024-01-01", celsius = 25, name = "Barn in the south" });
        Assert.Equal(
            ("2024-01-01", null, "25", "Barn in the south"),
            (warm.Text("from"), warm.Text("to"), warm.Text("celsius"), warm.Text("name")));
        Assert.Equal(("2030-01-01", "2030-01-01"), await DueAsync(app, car));

        await app.Patch($"/v1/vehicles/{car}", new { heatAgeing = Nitrile }); // Said how, and not yet that it counts.
        Assert.Equal(("2030-01-01", "2030-01-01"), await DueAsync(app, car));
        var changed = await (await app.Patch(
            $"/v1/vehicles/{car}", new { heatAgeing = new { counts = true, spread = 0 } })).Json();
        Assert.Equal(
            ("0.954", "20", "True"),
            (
                changed.Text("heatAgeing", "activationEnergy"), changed.Text("heatAgeing", "referenceCelsius"),
                changed.Text("heatAgeing", "counts")));
        Assert.Equal(("2027-03-09", "2027-03-09"), await DueAsync(app, car));

        await app.Patch($"/v1/vehicles/{car}", new { heatAgeing = new { spread = 0.1 } });
        Assert.Equal(("2026-12-24", "2027-05-28"), await DueAsync(app, car));
        var answer = (await app.Read($"/v1/vehicles/{car}/due")).Items().Single().GetProperty("answer");
        Assert.Contains(answer.GetProperty("reasons").EnumerateArray(), r =>
            r.ToString().Contains("0.954 ± 0.1 eV", StringComparison.Ordinal)
            && r.ToString().Contains("Sandia 1993", StringComparison.Ordinal));

        // Nobody read an odometer, so that it is unknown, which shows no day; it changes on the early one.
        Assert.Equal("2026-12-24", (await app.Read($"/v1/due?vehicleId={car}")).Items().Single().Text("nextChangeOn"));
        Assert.Equal(
            "2026-12-24",
            Maker((await app.Read($"/v1/vehicles/{car}/status-list")).Items().Single().GetProperty("limits"), l =>
                l.GetProperty("limit")).Text("due", "earliest"));
        Assert.Equal(("2026-12-24", "2027-05-28"), Days(await app.PostOk("/v1/calculations/due", new
        {
            vehicle = new { built = "2020-01-01" },
            component = new { partKind = "radiator-hose", original = true },
            limits = new[]
            {
                new { level = "replace-by", tag = "maker", reference = "Page 4", from = "manufacture", months = 120 },
            },
            temperatures = new[] { new { from = "2024-01-01", celsius = 25 } },
            heatAgeing = new { activationEnergy = 0.954, spread = 0.1, source = "Sandia 1993", counts = true },
        }, 200)));

        // Cold never makes up for it, and what was withdrawn counts no more.
        var cold = (await app.PostOk(path, new { from = "2020-01-01", to = "2023-12-31", celsius = -5 })).Id();
        Assert.Equal(("2026-12-24", "2027-05-28"), await DueAsync(app, car));
        Assert.Equal("4", (await (await app.Patch($"{path}/{cold}", new { celsius = 4 })).Json()).Text("celsius"));
        await (await app.Officer.Ask(HttpMethod.Delete, $"{path}/{warm.Id()}")).Problem(428, "precondition-required");
        Assert.Equal(
            204,
            (int)(await app.Officer.Ask(
                HttpMethod.Delete, $"{path}/{warm.Id()}", ifMatch: await app.Tag($"{path}/{warm.Id()}"))).StatusCode);
        Assert.Equal(("2030-01-01", "2030-01-01"), await DueAsync(app, car));

        Assert.Equal(
            [("#/to", "before-from")],
            (await (await app.Post(path, new { from = "2026-12-01", to = "2026-11-30", celsius = 20 }))
                .Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/celsius", "out-of-range")],
            (await (await app.Post(path, new { from = "2026-12-01", celsius = 300 }))
                .Problem(422, "validation")).Errors());
        Assert.Equal([("#/heatAgeing/activationEnergy", "out-of-range")], // Kilocalories for electronvolts.
            (await (await app.Patch($"/v1/vehicles/{car}", new { heatAgeing = new { activationEnergy = 22 } }))
                .Problem(422, "validation")).Errors());
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/standing-periods/{cold}"))
            .Problem(404, "not-found");
        using var foreigner = await app.GivenForeigner();
        await (await foreigner.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
        Assert.NotEqual(Guid.Empty, hose);
    }

    /// <summary>
    /// By hand: 25 °C for 1,065 days to 2026-11-30 uses up 2144.0 of the 2,192 days at 1.054 eV and 1877.4 at 0.854. At
    /// 28 °C the factors are 3.02942 and 2.45482: 48.0 / 3.02942 = 15.8 and 314.6 / 2.45482 = 128.1 days after
    /// 2026-12-01.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task Heat_to_come_counts_from_its_own_day(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, GivenNights.Idle);
        var (car, _) = await GivenCarAsync(app);
        await app.Patch(
            $"/v1/vehicles/{car}",
            new { heatAgeing = new { activationEnergy = 0.954, spread = 0.1, source = "Sandia 1993", counts = true } });
        var path = $"/v1/vehicles/{car}/temperatures";
        await app.PostOk(path, new { from = "2024-01-01", celsius = 25 });
        await NightAsync(app, new(2026, 11, 25));

        await app.PostOk(path, new { from = "2026-12-01", celsius = 28 });
        Assert.Equal(("2026-12-24", "2027-05-28"), await DueAsync(app, car));

        app.Clock.AdjustTime(new(2026, 12, 1, 12, 0, 0, TimeSpan.Zero));
        await NightAsync(app, new(2026, 12, 1));
        Assert.Equal(("2026-12-16", "2027-04-08"), await DueAsync(app, car));
        var stored = (await app.Read($"/v1/due?vehicleId={car}")).Items().Single();
        Assert.Equal(("2026-12-16", null), (stored.Text("nextChangeOn"), stored.Text("dueLatest")));
    }

    private static Task<bool> NightAsync(TestApp app, DateOnly day) => app.InScopeAsync(async services =>
    {
        await services.GetRequiredService<NightAssessment>().RunAsync(
            await app.Database.ClubIdAsync(), day, (_, _) => Task.CompletedTask, TestContext.Current.CancellationToken);
        return true;
    });

    private static async Task<(Guid Car, Guid Hose)> GivenCarAsync(TestApp app)
    {
        var car = await app.GivenVehicleAsync("2020-01-01", "km");
        var hose = (await app.PostOk(
            $"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", original = true })).Id();
        await app.PostOk(
            $"/v1/components/{hose}/limits",
            new { level = "replace-by", tag = "maker", reference = "Page 4", from = "manufacture", months = 120 });
        return (car, hose);
    }

    private static async Task<(string?, string?)> DueAsync(TestApp app, Guid car) =>
        Days((await app.Read($"/v1/vehicles/{car}/due")).Items().Single().GetProperty("answer"));

    private static (string?, string?) Days(JsonElement answer)
    {
        var line = Maker(answer.GetProperty("limits"), l => l);
        return (line.Text("due", "earliest"), line.Text("due", "latest"));
    }

    private static JsonElement Maker(JsonElement limits, Func<JsonElement, JsonElement> limit) =>
        limits.EnumerateArray().Select(limit).Single(l => l.Text("tag") == "maker");
}
