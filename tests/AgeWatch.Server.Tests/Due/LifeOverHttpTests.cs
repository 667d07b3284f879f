using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Due;

/// <summary>The life of a part, distance in doubt and bad findings, as the stored answers tell them.</summary>
public sealed class LifeOverHttpTests
{
    /// <summary>On a car of 1985 since nobody knows when; off and on again on one day: as old as the car.</summary>
    [Theory, OnBothDatabases]
    public async Task Off_and_on_on_one_day_makes_nothing_younger(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        var hose = await app.GivenComponent(car, "brake-hose-flexible");
        var before = (await app.Read($"/v1/components/{hose}/due")).GetProperty("answer");

        await app.PostOk($"/v1/components/{hose}/take-off", new { on = "2026-04-01", to = "shelf" }, 200);
        await app.PostOk($"/v1/components/{hose}/fittings", new { vehicleId = car, on = "2026-04-01" });

        var after = (await app.Read($"/v1/components/{hose}/due")).GetProperty("answer");
        Assert.Equal("1985-01-01", before.Text("born", "earliest"));
        Assert.Equal(
            ("1985-01-01", "1985-12-31", "presumption"),
            (after.Text("born", "earliest"), after.Text("born", "latest"), after.Text("born", "evidence")));
        Assert.Equal(before.Text("state"), after.Text("state"));
    }

    /// <summary>By hand: 10,000 mi when it was fitted, 90,000 on the old odometer when the new one came, 6,000 on that
    /// when the belt was off and on: 86,000 mi covered. The belt has a limit of 60,000 km.</summary>
    [Theory, OnBothDatabases]
    public async Task A_change_of_odometer_forgets_no_distance(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        await app.GivenReadingAsync(car, "2019-12-31", 9_990);
        var belt = await app.GivenComponent(
            car, "timing-belt", new { kind = "fitted", on = "2020-01-01", odometer = Given.Mi(10_000) });
        await app.GivenReadingAsync(car, "2023-01-01", 90_000);
        var instruments = (await app.Read($"/v1/vehicles/{car}/instruments")).Items();
        var old = instruments[0];
        Assert.True((await app.Patch(
            $"/v1/vehicles/{car}/instruments/{old.Id()}", new { removedOn = "2023-01-01" })).IsSuccessStatusCode);
        await app.PostOk(
            $"/v1/vehicles/{car}/instruments",
            new { label = "new", unit = "mi", digits = 6, fittedOn = "2023-01-02" });
        await app.PostOk(
            $"/v1/vehicles/{car}/odometer-readings", new { on = "2023-01-02", value = 0, unit = "mi" });
        await app.PostOk(
            $"/v1/components/{belt}/take-off",
            new { on = "2024-05-01", to = "shelf", odometer = Given.Mi(6_000) }, 200);
        await app.PostOk(
            $"/v1/components/{belt}/fittings",
            new { vehicleId = car, on = "2024-05-01", odometer = Given.Mi(6_000) });

        var answer = (await app.Read($"/v1/components/{belt}/due")).GetProperty("answer");

        Assert.Equal("overdue", answer.Text("state"));
        var distance = answer.GetProperty("limits").EnumerateArray()
            .Single(limit => limit.Text("unit") is "km" or "mi" && limit.Text("level") == "replace-by");
        Assert.Equal("2024-05-01", distance.Text("due", "earliest")); // By the day it came off at the latest.
    }

    [Theory, OnBothDatabases]
    public async Task Heat_goes_with_a_part_to_the_next_car(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var hot = await app.PostOk("/v1/vehicles", new
        {
            name = "Hot",
            distanceUnit = "mi",
            built = "1985",
            heatAgeing = new { activationEnergy = 0.6, source = "Test paper", counts = true },
        });
        await app.PostOk(
            $"/v1/vehicles/{hot.Id()}/temperatures", new { from = "2021-01-01", celsius = 28 });
        var hose = await app.GivenComponent(
            hot.Id(), "radiator-hose", new { kind = "fitted", on = "2021-01-01" },
            new { kind = "mark", text = "2021-01-01", convention = "iso-calendar" });
        var cool = await app.GivenVehicleAsync("1985");
        await app.PostOk($"/v1/components/{hose}/take-off", new { on = "2025-01-01", to = "shelf" }, 200);
        await app.PostOk($"/v1/components/{hose}/fittings", new { vehicleId = cool, on = "2025-01-01" });

        var answer = (await app.Read($"/v1/components/{hose}/due")).GetProperty("answer");

        Assert.Contains(
            answer.GetProperty("reasons").EnumerateArray(),
            reason => reason.GetString()!.Contains("A temperature history shortens the life"));
    }

    /// <summary>A part made in 2020 was nowhere in 2010; one that has moved was on its first car.</summary>
    [Theory, OnBothDatabases]
    public async Task A_past_day_is_answered_with_where_the_part_was_then(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (first, second) = (await app.GivenVehicleAsync("1985"), await app.GivenVehicleAsync("2005"));
        var hose = await app.GivenComponent(
            first, "brake-hose-flexible", new { kind = "fitted", on = "2015-05-01" });
        var young = await app.GivenComponent(
            first, "radiator-hose", new { kind = "fitted", on = "2021-01-01" },
            new { kind = "mark", text = "2020-06-01", convention = "iso-calendar" });
        await app.PostOk($"/v1/components/{hose}/take-off", new { on = "2020-01-01", to = "shelf" }, 200);
        await app.PostOk($"/v1/components/{hose}/fittings", new { vehicleId = second, on = "2020-02-01" });

        async Task<List<Guid>> On(Guid vehicle, string asOf) =>
            [.. (await app.Read($"/v1/vehicles/{vehicle}/due?asOf={asOf}")).Items().Select(item => item.Id())];

        Assert.Equal([hose], await On(first, "2018-01-01"));
        Assert.Empty(await On(second, "2018-01-01"));
        Assert.Empty(await On(first, "2020-01-15"));
        Assert.Equal([hose], await On(second, "2020-03-01"));
        Assert.Equal([young], await On(first, "2022-01-01"));
        Assert.Equal([young], await On(first, "2026-11-25"));
        Assert.Equal(
            "unknown", (await app.Read($"/v1/components/{young}/due?asOf=2010-01-01")).Text("answer", "state"));
        Assert.Equal(
            "overdue", (await app.Read($"/v1/components/{hose}/due?asOf=2026-01-01")).Text("answer", "state"));
        Assert.NotEqual(
            "overdue", (await app.Read($"/v1/components/{hose}/due?asOf=2015-06-01")).Text("answer", "state"));
    }

    [Theory, OnBothDatabases]
    public async Task A_reading_below_the_last_or_far_above_is_taken_with_a_warning_and_a_question(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        await app.GivenReadingAsync(car, "2022-01-01", 60_000);
        await app.GivenReadingAsync(car, "2023-01-01", 61_000);
        var path = $"/v1/vehicles/{car}/odometer-readings";

        var low = await app.PostOk(path, new { on = "2024-01-01", value = 6_200, unit = "mi" });
        var fine = await app.PostOk(path, new { on = "2025-01-01", value = 63_000, unit = "mi" });
        var high = await app.PostOk(path, new { on = "2026-01-01", value = 163_000, unit = "mi" });

        Assert.Contains("contradicts the others", Assert.Single(Texts(low, "warnings")));
        Assert.Contains("6,200 mi of 2024-01-01", Assert.Single(Texts(low, "questions")));
        Assert.Empty(Texts(fine, "warnings"));
        Assert.Contains("far more than usual", Assert.Single(Texts(high, "warnings")));
        Assert.NotEmpty(Texts(high, "questions"));
        Assert.Equal(5, (await app.Read(path)).Items().Count);
    }

    [Theory, OnBothDatabases]
    public async Task A_service_of_the_day_ends_no_unfit_finding_and_a_later_pass_does(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        var hose = await app.GivenComponent(
            car, "brake-hose-flexible", new { kind = "fitted", on = "2026-01-01" },
            new { kind = "mark", text = "2025-06-01", convention = "iso-calendar" });
        await app.PostOk($"/v1/components/{hose}/findings", new { on = "2026-05-01", grade = "unfit" });
        await app.PostOk($"/v1/components/{hose}/evidence", new { kind = "service", on = "2026-05-01" });

        Assert.Equal("stop-use", (await app.Read($"/v1/components/{hose}/due")).Text("answer", "state"));

        await app.PostOk($"/v1/components/{hose}/findings", new { on = "2026-05-02", grade = "pass" });

        Assert.Equal("in-life", (await app.Read($"/v1/components/{hose}/due")).Text("answer", "state"));
    }

    /// <summary>A service task that is unknown for want of an odometer: nothing on the wire says 9999.</summary>
    [Theory, OnBothDatabases]
    public async Task The_day_that_stands_for_never_is_not_on_the_wire(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        await app.GivenReadingAsync(car, "2025-01-01", 60_000);
        await app.GivenReadingAsync(car, "2026-01-01", 61_000);
        await app.GivenComponent(car, "timing-belt", new { kind = "fitted", on = "2025-06-01" });
        await app.GivenComponent(car, "brake-pads");
        await app.GivenServiceTask(car);

        foreach (var path in (string[])[$"/v1/vehicles/{car}/due", "/v1/due", $"/v1/vehicles/{car}/status-list",
            $"/v1/vehicles/{car}/walk-round"])
        {
            Assert.DoesNotContain("9999", (await app.Read(path)).ToString());
        }
    }

    /// <summary>Stands with no end on record: known to stand until today, whatever day ahead is asked about.</summary>
    [Theory, OnBothDatabases]
    public async Task Calculator_and_stored_answer_agree_for_a_day_ahead(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.PostOk("/v1/vehicles", new
        {
            name = "Standing",
            distanceUnit = "km",
            built = "1985",
            country = "GB",
            declaredPerYear = new { value = 20_000, unit = "km" },
        });
        await app.GivenReadingAsync(car.Id(), "2025-01-01", 60_000, "km");
        await app.PostOk($"/v1/vehicles/{car.Id()}/standing-periods", new { from = "2025-02-01" });
        var fitted = new { kind = "fitted", on = "2025-01-01", odometer = new { value = 60_000, unit = "km" } };
        var belt = await app.GivenComponent(car.Id(), "timing-belt", fitted);

        var stored = (await app.Read($"/v1/components/{belt}/due?asOf=2031-01-01")).GetProperty("answer");
        var calculated = await app.PostOk("/v1/calculations/due", new
        {
            asOf = "2031-01-01",
            vehicle = new { built = "1985", country = "GB", distanceUnit = "km" },
            component = new { partKind = "timing-belt", evidence = new[] { fitted } },
            odometerReadings = new[] { new { on = "2025-01-01", value = 60_000, unit = "km" } },
            standing = new[] { new { from = "2025-02-01" } },
            declaredPerYear = new { value = 20_000, unit = "km" },
        }, 200);

        foreach (var member in (string[])["state", "certainty", "due", "limits"])
        {
            Assert.Equal(
                JsonSerializer.Serialize(calculated.GetProperty(member)),
                JsonSerializer.Serialize(stored.GetProperty(member)));
        }
    }

    /// <summary>Oil every 12 months: done 2024-03-01, due 2025-03-01, put off, done 2025-05-15: next due 2026-03-01.
    /// 14 CFR 91.409(b) is the model. With the work the deferral is over, and a new one may be made.</summary>
    [Theory, OnBothDatabases]
    public async Task What_was_put_off_is_deducted_and_the_deferral_ends_with_the_work(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        var oil = await app.GivenServiceTask(car);
        var path = $"/v1/service-tasks/{oil}";
        await app.PostOk($"{path}/records", new { on = "2024-03-01" });
        var decision = new
        {
            reason = "Part on order",
            person = "Officer",
            decidedOn = "2025-02-01",
            untilOn = "2027-06-01",
            untilOdometer = Given.Mi(90_000),
        };
        await app.PostOk($"{path}/deferrals", decision);
        await app.PostOk($"{path}/records", new { on = "2025-05-15" });

        var answer = (await app.Read($"/v1/vehicles/{car}/due")).Items().Single().GetProperty("answer");
        var byAge = answer.GetProperty("limits").EnumerateArray()
            .Single(limit => limit.Text("unit") == "months" && limit.Text("level") == "replace-by");

        Assert.Equal("2026-03-01", byAge.Text("due", "earliest"));
        Assert.Equal("ended", answer.Text("deferral"));
        await app.PostOk($"{path}/deferrals", decision with { decidedOn = "2026-02-01" });
    }

    private static List<string> Texts(JsonElement json, string member) =>
        [.. json.GetProperty(member).EnumerateArray().Select(text => text.GetString()!)];
}
