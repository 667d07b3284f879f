using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

public sealed class TyreSwapTests(SharedApp shared) : IClassFixture<SharedApp>
{
    private static readonly string[] Corners = ["front left", "front right", "rear left", "rear right"];

    [Theory, OnBothDatabases]
    public async Task A_full_set_changes_places_in_one_call_and_back_in_one_call(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (one, other) = (await GivenCarOnTyres(app, "0109"), await GivenCarOnTyres(app, "3197"));
        await app.PostOk($"/v1/vehicles/{one}/components", new { partKind = "tyre-spare", position = "boot" });
        var (onOne, onOther) = (await Tyres(app, one), await Tyres(app, other));
        var before = (await app.Read("/v1/components")).Items().Select(WithoutUpdate).ToList();

        var response = await Swap(app, one, other);

        Assert.Equal(201, (int)response.StatusCode);
        var swap = await response.Json();
        var path = $"/v1/tyre-swaps/{swap.Id()}";
        Assert.EndsWith(path, response.Headers.Location!.ToString());
        Assert.Equal(response.Headers.ETag!.ToString(), await app.Tag(path));
        Assert.Equal(8, swap.GetProperty("moved").GetArrayLength());
        Assert.Equal(onOther, await Tyres(app, one));
        Assert.Equal(onOne, await Tyres(app, other));
        Assert.Equal(5, (await app.Read($"/v1/vehicles/{one}/components")).Items().Count);
        var moved = (await app.Read($"/v1/vehicles/{other}/components")).Items()[0];
        Assert.Equal(("2026-10-01", "500"), (moved.Text("fitting", "on"), moved.Text("fitting", "odometer", "value")));
        Assert.Equal("0109", moved.GetProperty("evidence")[0].Text("text"));

        Assert.Equal(swap.ToString(), (await app.PostOk($"{path}/undo", new { }, 200)).ToString());

        Assert.Equal(before, (await app.Read("/v1/components")).Items().Select(WithoutUpdate));
        await (await app.Officer.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
        await (await app.Post($"{path}/undo", new { })).Problem(404, "not-found");
        await using var db = app.Database.Open();
        Assert.Equal(9, db.Fittings.Count());
    }

    [Theory, OnBothDatabases]
    public async Task A_swap_stands_once_a_tyre_has_gone_on(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (one, other) = (await GivenCarOnTyres(app, "0109"), await GivenCarOnTyres(app, "3197"));
        var swap = await (await Swap(app, one, other)).Json();
        var gone = (await app.Read($"/v1/vehicles/{one}/components")).Items()[2].Id();
        await app.PostOk(
            $"/v1/components/{gone}/take-off", new { on = "2026-11-01", to = "discarded", reason = "bulge" }, 200);

        var problem = await (await app.Post($"/v1/tyre-swaps/{swap.Id()}/undo", new { })).Problem(409, "conflict");

        Assert.Contains(gone.ToString(), problem.Text("detail"));
        Assert.Equal(3, (await app.Read($"/v1/vehicles/{one}/components")).Items().Count);
    }

    [Theory, OnBothDatabases]
    public async Task Swapping_twice_is_two_entries(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (one, other) = (await GivenCarOnTyres(app, "0109"), await GivenCarOnTyres(app, "3197"));
        var at = await Tyres(app, one);
        var first = await (await Swap(app, one, other)).Json();
        var second = await (await Swap(app, one, other)).Json();

        Assert.Equal(at, await Tyres(app, one));
        await (await app.Post($"/v1/tyre-swaps/{first.Id()}/undo", new { })).Problem(409, "conflict");
        await app.PostOk($"/v1/tyre-swaps/{second.Id()}/undo", new { }, 200);
        await app.PostOk($"/v1/tyre-swaps/{first.Id()}/undo", new { }, 200);
        Assert.Equal(at, await Tyres(app, one));
    }

    [Fact]
    public async Task A_swap_that_cannot_be_moves_nothing()
    {
        var app = shared.App;
        var (one, bare) = (await GivenCarOnTyres(app, "0109"), await app.GivenVehicleAsync());
        var before = await Tyres(app, one);
        var stranger = Guid.CreateVersion7();

        Assert.Equal(
            [("#/vehicles/1/vehicleId", "no-tyres")],
            (await (await Swap(app, one, bare)).Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/vehicles/1/vehicleId", "no-such-vehicle")],
            (await (await Swap(app, one, stranger)).Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/vehicles/1", "doubled")], (await (await Swap(app, one, one)).Problem(422, "validation")).Errors());
        Assert.Equal([("#/vehicles", "wrong-length")],
            (await (
                await app.Post(
                    "/v1/tyre-swaps",
                    new { on = "2026-10-01", vehicles = new[] { new { vehicleId = one } } }))
                        .Problem(422, "validation")).Errors());
        Assert.Equal([("#/vehicles/0/componentIds/0", "not-on-the-vehicle"), ("#/vehicles/1/vehicleId", "no-tyres")],
            (await (await app.Post("/v1/tyre-swaps", new
            {
                on = "2026-10-01",
                vehicles = new object[] { new { vehicleId = one, componentIds = new[] { stranger } },
                new { vehicleId = bare } },
            })).Problem(422, "validation")).Errors());
        Assert.Contains(
            ("#/on", "in-the-future"),
            (await (await Swap(app, one, bare, "2026-11-26")).Problem(422, "validation")).Errors());
        Assert.Equal(before, await Tyres(app, one));
    }

    private static Task<HttpResponseMessage> Swap(TestApp app, Guid one, Guid other, string on = "2026-10-01") =>
        app.Post("/v1/tyre-swaps", new
        {
            on,
            vehicles = new object[] { new { vehicleId = one, odometer = Given.Mi(70000) },
        new { vehicleId = other, odometer = Given.Mi(500) } },
        });

    private static async Task<Guid> GivenCarOnTyres(TestApp app, string mark)
    {
        var car = await app.GivenVehicleAsync();
        foreach (var position in Corners)
        {
            await app.PostOk($"/v1/vehicles/{car}/components", new
            {
                partKind = "tyre-road",
                position,
                evidence = new[] { new { kind = "mark", text = mark, on = "2020-01-01" } },
            });
        }

        return car;
    }

    private static async Task<List<(Guid, string?)>> Tyres(TestApp app, Guid car) =>
        [.. (await app.Read($"/v1/vehicles/{car}/components?partKind=tyre-road"))
            .Items()
            .Select(c => (c.Id(), c.Text("position")))];

    private static (Guid, string?, string?, string, string?) WithoutUpdate(System.Text.Json.JsonElement c) =>
        (c.Id(), c.Text("vehicleId"), c.Text("position"), c.GetProperty("evidence")
            .ToString(), c.GetProperty("fitting")
            .ToString());
}
