using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

public sealed class FittingTests(SharedApp shared) : IClassFixture<SharedApp>
{
    private static readonly object Fitted = new { kind = "fitted", on = "2019-04-02", odometer = Given.Mi(61200) };

    [Theory, OnBothDatabases]
    public async Task A_part_moves_and_its_record_goes_with_it(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (one, other) = (await app.GivenVehicleAsync(name: "One"), await app.GivenVehicleAsync(name: "Other"));
        var part =
            $"/v1/components/{await app.GivenComponent(one, "radiator-hose", new { kind = "mark", text = "3/94", on = "2019-04-02" }, Fitted)}";
        await app.PostOk($"{part}/findings", new { on = "2020-01-01", grade = "watch" });

        await (await app.Post($"{part}/fittings", new { vehicleId = other, on = "2024-05-01" }))
            .Problem(409, "conflict");
        var response = await app.Post($"{part}/fittings", new
        {
            vehicleId = other,
            on = "2024-05-03",
            position = "lower",
            odometer = Given.Mi(12),
            takenOffOn = "2024-05-01",
            takenOffOdometer = Given.Mi(68400),
        });

        Assert.Equal(201, (int)response.StatusCode);
        Assert.Equal(
            response.Headers.ETag!.ToString(),
            await app.Tag(new Uri(response.Headers.Location!.ToString()).AbsolutePath));
        var component = await app.Read(part);
        Assert.Equal((other.ToString(), "fitted", "lower", "2024-05-03"),
            (
                component.Text("vehicleId"), component.Text("place"), component.Text("position"),
                component.Text("fitting", "on")));
        Assert.Equal("3/94", component.GetProperty("evidence")[0].Text("text"));
        Assert.Single((await app.Read($"{part}/findings")).Items());
        var fittings = (await app.Read($"{part}/fittings")).Items().OrderBy(f => f.Text("on")).ToList();
        Assert.Equal([
            (one.ToString(), "2019-04-02", "2024-05-01", "68400"), (other.ToString(), "2024-05-03", null, null)],
            fittings.Select(f =>
                (f.Text("vehicleId")!, f.Text("on")!, f.Text("takenOffOn"), f.Text("takenOffOn") is null
                ? null
                : f.Text("takenOffOdometer", "value"))));
        Assert.Empty((await app.Read($"/v1/vehicles/{one}/components")).Items());
        Assert.Single((await app.Read($"/v1/vehicles/{other}/components")).Items());
    }

    /// <summary>
    /// 14 CFR 43.10(b): the status is unchanged when a part is taken off and put back on the same product, which has
    /// run no time meanwhile. Here "no time" is the same odometer.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task Off_and_on_again_with_no_use_between_carries_on(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var part = $"/v1/components/{await app.GivenComponent(car, "radiator-hose", Fitted)}";
        var first = (await app.Read(part)).Text("fitting", "id");
        await app.PostOk(
            $"{part}/take-off",
            new { on = "2024-05-01", odometer = Given.Mi(68400), to = "shelf", reason = "engine out" }, 200);

        var again = await app.PostOk(
            $"{part}/fittings", new { vehicleId = car, on = "2024-08-01", odometer = Given.Mi(68400) });

        Assert.Equal(first, again.Text("continues"));
        Assert.Equal(2, (await app.Read($"{part}/fittings")).Items().Count);
        Assert.Equal(first, (await app.Read(part)).Text("fitting", "continues"));

        await app.PostOk($"{part}/take-off", new { on = "2025-05-01", odometer = Given.Mi(70000), to = "shelf" }, 200);
        Assert.Null((await app.PostOk(
            $"{part}/fittings",
            new { vehicleId = car, on = "2025-08-01", odometer = Given.Mi(70001) })).Text("continues"));
    }

    [Theory, OnBothDatabases]
    public async Task A_move_to_a_younger_car_makes_nothing_younger(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (old, young) = (await app.GivenVehicleAsync(built: "1970"), await app.GivenVehicleAsync(built: "1987"));
        var part = $"/v1/components/{await app.GivenComponent(old)}";
        Assert.Equal("1970-01-01", (await app.Read($"{part}/due")).Text("answer", "born", "earliest"));

        await app.PostOk($"{part}/take-off", new { on = "2024-05-01", to = "shelf" }, 200);
        Assert.Equal("1970-01-01", (await app.Read($"{part}/due")).Text("answer", "born", "earliest"));
        await app.PostOk($"{part}/fittings", new { vehicleId = young, on = "2024-06-01" });

        Assert.Equal("1970-01-01", (await app.Read($"{part}/due")).Text("answer", "born", "earliest"));
        await using var db = app.Database.Open();
        Assert.Equal(young, db.DueStates.Single().VehicleId);
    }

    [Theory, OnBothDatabases]
    public async Task The_shelf_holds_it_and_the_reason(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var part = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync(), "radiator-hose", Fitted)}";
        var before = await app.Tag(part);

        var shelved = await app.PostOk(
            $"{part}/take-off", new { on = "2024-05-01", odometer = Given.Mi(68400), to = "shelf", reason = "winter" },
            200);

        Assert.Equal(("shelf", null), (shelved.Text("place"), shelved.Text("vehicleId")));
        Assert.NotEqual(before, await app.Tag(part));
        Assert.Equal("winter", (await app.Read($"{part}/fittings")).Items()[0].Text("takenOffReason"));
        Assert.Single((await app.Read("/v1/shelf")).Items());
        await (await app.Post($"{part}/take-off", new { on = "2024-05-02", to = "shelf" })).Problem(409, "conflict");
    }

    [Theory, OnBothDatabases]
    public async Task What_is_discarded_stays_on_record_and_off_the_road(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var part = $"/v1/components/{await app.GivenComponent(car, "radiator-hose", Fitted)}";
        await app.PostOk(
            $"{part}/take-off",
            new { on = "2024-05-01", odometer = Given.Mi(68400), to = "discarded", reason = "cracked" }, 200);

        await (await app.Post($"{part}/fittings", new { vehicleId = car, on = "2024-06-01" })).Problem(409, "conflict");
        await (await app.Post($"{part}/take-off", new { on = "2024-06-01", to = "shelf" })).Problem(409, "conflict");

        var component = await app.Read(part);
        Assert.Equal(
            ("discarded", "2024-05-01", "cracked"),
            (component.Text("place"), component.Text("discardedOn"), component.Text("discardReason")));
        Assert.Single((await app.Read("/v1/components?place=discarded")).Items());
    }

    [Theory, OnBothDatabases]
    public async Task A_spare_is_fitted_or_thrown_away(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var (used, old) = ($"/v1/components/{await app.GivenSpare()}", $"/v1/components/{await app.GivenSpare()}");

        Assert.Equal([("#/takenOffOn", "not-on-a-vehicle")],
            (await (
                await app.Post(
                    $"{used}/fittings",
                    new { vehicleId = car, on = "2024-05-02", takenOffOn = "2024-05-01" }))
                        .Problem(422, "validation")).Errors());
        await app.PostOk($"{used}/fittings", new { vehicleId = car, on = "2024-05-01", position = "top" });
        Assert.Equal([("#/odometer", "not-on-a-vehicle")],
            (await (
                await app.Post($"{old}/take-off", new { on = "2024-05-01", odometer = Given.Mi(1), to = "discarded" }))
                    .Problem(422, "validation")).Errors());
        await app.PostOk($"{old}/take-off", new { on = "2024-05-01", to = "discarded", reason = "perished" }, 200);

        Assert.Equal(
            ("fitted", "top"), ((await app.Read(used)).Text("place"), (await app.Read(used)).Text("position")));
        Assert.Equal("perished", (await app.Read(old)).Text("discardReason"));
    }

    [Theory]
    [InlineData("2026-11-26", "2026-11-26", "#/on", "in-the-future")]
    [InlineData("2026-11-26", "2026-11-26", "#/takenOffOn", "in-the-future")]
    [InlineData("2019-04-01", "2019-04-03", "#/takenOffOn", "before-fitted")]
    [InlineData("2024-05-02", "2024-05-01", "#/on", "overlaps")]
    [InlineData("2019-05-01", "2020-01-01", "#/on", "before-built")]
    [InlineData("2024-05-01", "2026-07-01", "#/on", "after-gone")]
    public async Task Days_that_cannot_be_are_refused(string takenOffOn, string on, string pointer, string code)
    {
        var app = shared.App;
        var one = await app.GivenVehicleAsync();
        var other = await app.GivenAsync(
            "/v1/vehicles",
            new
            {
                name = "Other",
                distanceUnit = "mi",
                built = "2021",
                goneOn = code == "after-gone"
                ? "2026-06-30"
                : null
            });
        var part = $"/v1/components/{await app.GivenComponent(one, "radiator-hose", Fitted)}";
        var before = (await app.Read(part)).ToString();

        var problem = await (await app.Post($"{part}/fittings", new { vehicleId = other, on, takenOffOn }))
            .Problem(422, "validation");

        Assert.Contains((pointer, code), problem.Errors());
        Assert.Equal(before, (await app.Read(part)).ToString());
    }

    [Fact]
    public async Task A_club_is_as_late_as_its_own_clock()
    {
        // 23:30 UTC on the 25th is already the 26th in Auckland.
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, new(new(2026, 11, 25, 23, 30, 0, TimeSpan.Zero)),
            ("AGEWATCH_ZONE", "Pacific/Auckland"));
        var part = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}";

        Assert.Equal(
            [("#/on", "in-the-future")],
            (await (await app.Post($"{part}/take-off", new { on = "2026-11-27", to = "shelf" }))
                .Problem(422, "validation")).Errors());
        await app.PostOk($"{part}/take-off", new { on = "2026-11-26", to = "shelf" }, 200);
    }

    [Theory, OnBothDatabases]
    public async Task A_fitting_written_down_wrongly_is_put_right(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var part = $"/v1/components/{await app.GivenComponent(car)}";
        var first = $"{part}/fittings/{(await app.Read(part)).Text("fitting", "id")}";
        var before = await app.Tag(part);

        var known = await (await app.Patch(first, new { on = "2019-04-02", odometer = Given.Mi(61200) })).Json();
        Assert.Equal(("2019-04-02", "61200"), (known.Text("on"), known.Text("odometer", "value")));
        Assert.NotEqual(before, await app.Tag(part));
        Assert.Equal(
            [("#/takenOffOn", "still-fitted")],
            (await (await app.Patch(first, new { takenOffOn = "2024-05-01" })).Problem(422, "validation")).Errors());

        await app.PostOk($"{part}/take-off", new { on = "2024-05-01", odometer = Given.Mi(68400), to = "shelf" }, 200);
        await app.PostOk($"{part}/fittings", new { vehicleId = car, on = "2024-08-01", odometer = Given.Mi(70000) });
        Assert.Equal(
            [("#/on", "overlaps")],
            (await (await app.Patch(first, new { takenOffOn = "2024-08-02" })).Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/takenOffOn", "missing")],
            (await (await app.Patch(first, new { takenOffOn = (string?)null })).Problem(422, "validation")).Errors());
        Assert.Equal(200, (int)(await app.Patch(first, new { takenOffOn = "2024-08-01" })).StatusCode);
        await (await app.Officer.Ask(HttpMethod.Patch, first, "{}")).Problem(428, "precondition-required");
    }

    [Theory, OnBothDatabases]
    public async Task An_odometer_that_ran_backwards_needs_drums_that_come_round(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var part = $"/v1/components/{await app.GivenComponent(car, "radiator-hose", Fitted)}";
        var takeOff = new { on = "2024-05-01", odometer = Given.Mi(2000), to = "shelf" };

        Assert.Equal(
            [("#/odometer", "ran-backwards")],
            (await (await app.Post($"{part}/take-off", takeOff)).Problem(422, "validation")).Errors());

        var instruments = $"/v1/vehicles/{car}/instruments";
        await app.Patch($"{instruments}/{(await app.Read(instruments)).Items()[0].Id()}", new { digits = 5 });
        await app.PostOk($"{part}/take-off", takeOff, 200);
    }

    [Theory, OnBothDatabases]
    public async Task Of_two_who_fit_one_spare_one_is_told(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (one, other) = (await app.GivenVehicleAsync(name: "One"), await app.GivenVehicleAsync(name: "Other"));
        var part = $"/v1/components/{await app.GivenSpare()}";

        var answers = await Task.WhenAll(new[] { one, other, one, other }.Select(car =>
            app.Post($"{part}/fittings", new { vehicleId = car, on = "2024-05-01" })));

        Assert.Single(answers, answer => (int)answer.StatusCode == 201);
        Assert.Equal(3, answers.Count(answer => (int)answer.StatusCode == 409));
        Assert.Single((await app.Read($"{part}/fittings")).Items());
    }
}
