using System.Text.Json;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

public sealed class ComponentTests(SharedApp shared) : IClassFixture<SharedApp>
{
    [Theory, OnBothDatabases]
    public async Task A_part_is_kept_with_its_evidence_as_read(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();

        var response = await app.Post($"/v1/vehicles/{car}/components", new
        {
            partKind = "brake-hose-flexible",
            position = "front left",
            maker = "Kestrel Rubber",
            lot = "K-77",
            evidence = new object[]
            {
                new { kind = "mark", text = " 1O/1/96 ?", convention = "fmvss106-hose", on = "2024-05-01",
                notedBy = "A. Keeper", photo = new { url = "https://photos.example/1.jpg" } },
                new { kind = "document", on = "2019-04-01" },
                new { kind = "fitted", on = "2019-04-02", odometer = Given.Mi(61200), notedBy = "B. Keeper" },
            },
        });

        Assert.Equal(201, (int)response.StatusCode);
        var made = await response.Json();
        var path = $"/v1/components/{made.Id()}";
        Assert.EndsWith(path, response.Headers.Location!.ToString());
        var got = await app.Officer.Ask(HttpMethod.Get, path);
        Assert.Equal(response.Headers.ETag, got.Headers.ETag);
        var component = await got.Json();
        Assert.Equal(made.ToString(), component.ToString());
        Assert.Equal(("fitted", car.ToString(), "front left", "K-77"),
            (component.Text("place"), component.Text("vehicleId"), component.Text("position"), component.Text("lot")));
        var mark = component.GetProperty("evidence").EnumerateArray().Single(e => e.Text("kind") == "mark");
        Assert.Equal((" 1O/1/96 ?", "fmvss106-hose", "2024-05-01", "A. Keeper", "https://photos.example/1.jpg"),
            (
                mark.Text("text"), mark.Text("convention"), mark.Text("on"), mark.Text("notedBy"),
                mark.Text("photo", "url")));
        Assert.Equal("2026-11-25T12:00:00Z", mark.Text("recordedAt"));
        Assert.Equal(2, component.GetProperty("evidence").GetArrayLength());
        Assert.Equal(("2019-04-02", "61200", "mi", "front left", "B. Keeper"),
            (
                component.Text("fitting", "on"), component.Text("fitting", "odometer", "value"),
                component.Text("fitting", "odometer", "unit"),
                component.Text("fitting", "position"), component.Text("fitting", "notedBy")));
    }

    [Theory, OnBothDatabases]
    public async Task Everything_wrong_with_a_part_is_named_at_once(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync(built: "1987-05");

        var problem = await (await app.Post($"/v1/vehicles/{car}/components", new
        {
            partKind = "flux-capacitor",
            evidence = new object[]
            {
                new { kind = "mark", text = "0109", convention = "no-such-way", on = "2026-11-26" },
                new { kind = "fitted", on = "1987-04-30" },
            },
        })).Problem(422, "validation");

        Assert.Equal(
            [
                ("#/partKind", "unknown-part-kind"),
                ("#/evidence/0/on", "in-the-future"),
                ("#/evidence/0/convention", "unknown-convention"),
                ("#/evidence/1/on", "before-built"),
            ],
            problem.Errors());
        Assert.Empty((await app.Read("/v1/components")).Items());
    }

    [Theory]
    [InlineData("""{ "kind": "mark", "on": "2024-05-01" }""", "#/evidence/0/text", "missing")]
    [InlineData("""{ "kind": "document", "on": "2024-05-01", "text": "0109" }""", "#/evidence/0/text", "not-a-mark")]
    [InlineData("""{ "kind": "plate", "on": "2024-05-01", "odometer": { "value": 1, "unit": "mi" } }""", "#/evidence/0/odometer", "not-fitted")]
    [InlineData("""{ "kind": "document" }""", "#/evidence/0/on", "missing")]
    [InlineData("""{ "kind": "presumption", "on": "2024-05-01" }""", "#/evidence/0/kind", "not-evidence")]
    [InlineData("""{ "kind": "plate", "convention": "plain-year" }""", "#/evidence/0/convention", "not-a-mark")]
    [InlineData("""{ "kind": "mark", "text": "0109", "on": "2024-05-01", "photo": {} }""", "#/evidence/0/photo/url", "missing")]
    [InlineData("""{ "kind": "mark", "text": "0109", "on": "2024-05-01", "photo": { "url": "javascript:alert(1)" } }""", "#/evidence/0/photo/url", "wrong-format")]
    [InlineData("""{ "kind": "fitted", "on": "2024-05-01" }, { "kind": "fitted", "on": "2024-05-02" }""", "#/evidence/1", "doubled")]
    public async Task Evidence_that_contradicts_its_kind_is_refused(string evidence, string pointer, string code)
    {
        var app = shared.App;
        var car = await app.GivenVehicleAsync();

        var response = await app.Officer.Ask(
            HttpMethod.Post, $"/v1/vehicles/{car}/components", $$"""{ "partKind": "tyre-road", "evidence": [ {{evidence}} ] }""");

        Assert.Contains((pointer, code), (await response.Problem(422, "validation")).Errors());
    }

    [Fact]
    public async Task A_mark_has_up_to_120_characters()
    {
        var app = shared.App;
        var car = await app.GivenVehicleAsync();

        object With(int length) =>
            new
            {
                partKind = "tyre-road",
                evidence = new[] { new { kind = "mark", on = "2024-05-01", text = new string('7', length) } }
            };

        Assert.Equal(201, (int)(await app.Post($"/v1/vehicles/{car}/components", With(120))).StatusCode);
        Assert.Equal(
            [("#/evidence/0/text", "wrong-length")],
            (await (await app.Post($"/v1/vehicles/{car}/components", With(121))).Problem(422, "validation")).Errors());
    }

    [Theory, OnBothDatabases]
    public async Task A_certain_hose_of_a_lot_is_found_on_every_car(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (one, other) = (await app.GivenVehicleAsync(name: "One"), await app.GivenVehicleAsync(name: "Other"));
        await app.PostOk(
            $"/v1/vehicles/{one}/components",
            new { partKind = "radiator-hose", lot = "L-22a", maker = "Kestrel Rubber" });
        await app.PostOk(
            $"/v1/vehicles/{other}/components",
            new { partKind = "radiator-hose", lot = "l-22A", maker = "KESTREL RUBBER", partNumber = "KR 1" });
        await app.PostOk(
            $"/v1/vehicles/{other}/components", new { partKind = "radiator-hose", lot = "L-23", maker = "Ätna" });
        await app.PostOk("/v1/shelf", new { partKind = "radiator-hose", lot = "L-22A" });

        async Task<int> Found(string filter) => (await app.Read($"/v1/components?{filter}")).Items().Count;

        Assert.Equal(3, await Found("partKind=radiator-hose&lot=L-22A"));
        Assert.Equal(2, await Found("lot=l-22a&maker=kestrel%20rubber"));
        Assert.Equal(1, await Found("lot=L-22A&place=shelf"));
        Assert.Equal(1, await Found("partNumber=kr%201"));
        Assert.Equal(1, await Found("maker=%C3%84tna"));
        Assert.Equal(2, await Found($"vehicleId={other}"));
        Assert.Equal(2, (await app.Read($"/v1/vehicles/{other}/components?limit=1")).Items().Count
            + (await app.Read($"/v1/vehicles/{one}/components")).Items().Count);
        Assert.Single((await app.Read("/v1/shelf")).Items());
        Assert.Equal(0, await Found("partKind=tyre-road"));
        await (await app.Officer.Ask(HttpMethod.Get, "/v1/components?lots=L-22A")).Problem(400, "invalid-parameter");
    }

    [Theory, OnBothDatabases]
    public async Task Lists_show_evidence_and_walk_in_pages(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        for (var i = 0; i < 5; i++)
        {
            await app.GivenComponent(
                car, "tyre-road", new { kind = "mark", text = $"0{i + 1}09", on = "2024-05-01" },
                new { kind = "document", on = "2019-04-01" });
        }

        List<JsonElement> met = [];
        for (var next = $"/v1/vehicles/{car}/components?limit=2"; next is not null;)
        {
            var page = await app.Read(next);
            met.AddRange(page.Items());
            next = page.TryGetProperty("next", out var address) ? address.GetString() : null;
        }

        Assert.Equal(5, met.DistinctBy(c => c.Id()).Count());
        Assert.All(met, c => Assert.Equal(2, c.GetProperty("evidence").GetArrayLength()));
        var first = await app.Read($"/v1/components/{met[0].Id()}");
        Assert.Equal(first.ToString(), met[0].ToString());
    }

    [Theory, OnBothDatabases]
    public async Task Of_twenty_changes_on_one_tag_one_is_made(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var path = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}";
        var tag = await app.Tag(path);

        var answers = await Task.WhenAll(Enumerable.Range(0, 20).Select(i =>
            app.Officer.Ask(HttpMethod.Patch, path, $$"""{ "notes": "change {{i}}" }""", tag)));

        var made = Assert.Single(answers, answer => answer.IsSuccessStatusCode);
        Assert.Equal(19, answers.Count(answer => (int)answer.StatusCode == 412));
        Assert.Equal((await made.Json()).ToString(), (await app.Read(path)).ToString());
        Assert.Equal(made.Headers.ETag!.ToString(), await app.Tag(path));
        Assert.StartsWith("\"2-", made.Headers.ETag.Tag);
    }

    [Theory, OnBothDatabases]
    public async Task Changes_need_the_tag_and_keep_what_they_do_not_name(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var made = await app.PostOk(
            $"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", position = "top", lot = "L1" });
        var path = $"/v1/components/{made.Id()}";
        var tag = await app.Tag(path);

        await (await app.Officer.Ask(HttpMethod.Patch, path, """{ "position": "bottom" }""")).Problem(428, "precondition-required");
        var changed = await app.Officer.Ask(HttpMethod.Patch, path, """{ "position": "bottom", "partKind": "heater-hose" }""", tag);
        Assert.Equal(200, (int)changed.StatusCode);
        var component = await changed.Json();
        Assert.Equal(("heater-hose", "bottom", "L1", "bottom"),
            (
                component.Text("partKind"), component.Text("position"), component.Text("lot"),
                component.Text("fitting", "position")));
        await (await app.Officer.Ask(HttpMethod.Patch, path, """{ "lot": null }""", tag)).Problem(412, "precondition-failed");

        var now = await app.Tag(path);
        Assert.Equal(now, (await app.Officer.Ask(HttpMethod.Patch, path, "{}", now)).Headers.ETag!.ToString());
        Assert.Equal(
            [("#/partKind", "unknown-part-kind")],
            (await (await app.Patch(path, new { partKind = "x" })).Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/evidence", "fixed")],
            (await (await app.Patch(path, new { evidence = Array.Empty<object>() }))
                .Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/place", "unknown-member")],
            (await (await app.Patch(path, new { place = "shelf" })).Problem(422, "validation")).Errors());
    }

    [Theory, OnBothDatabases]
    public async Task A_reference_is_given_once(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();

        var answers = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ =>
            app.Post($"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", reference = "H-1" })));

        Assert.Single(answers, answer => (int)answer.StatusCode == 201);
        foreach (var refused in answers.Where(answer => (int)answer.StatusCode != 201))
        {
            await refused.Problem(409, "conflict");
        }

        Assert.Single((await app.Read("/v1/components?reference=H-1")).Items());
    }

    [Theory, OnBothDatabases]
    public async Task A_part_is_removed_with_what_hangs_on_it(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var id = await app.GivenComponent(car, "tyre-road", new { kind = "mark", text = "0109", on = "2024-05-01" });
        var path = $"/v1/components/{id}";

        await (await app.Officer.Ask(HttpMethod.Delete, path)).Problem(428, "precondition-required");
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: await app.Tag(path))).StatusCode);

        await (await app.Officer.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
        await (await app.Officer.Ask(HttpMethod.Get, $"{path}/evidence")).Problem(404, "not-found");
        await (await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: "*")).Problem(404, "not-found");
        await using var db = app.Database.Open();
        Assert.Empty(db.Fittings);
        Assert.Empty(db.DueStates);
    }

    [Theory, OnBothDatabases]
    public async Task Another_club_sees_nothing(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        using var foreigner = await app.GivenForeigner();
        var car = await app.GivenVehicleAsync();
        var part = await app.GivenComponent(car, "tyre-road", new { kind = "mark", text = "0109", on = "2024-05-01" });
        var task = await app.GivenServiceTask(car);
        var evidence = (await app.Read($"/v1/components/{part}/evidence")).Items()[0].Id();
        string[] paths =
        [
            $"/v1/vehicles/{car}/components", $"/v1/components/{part}", $"/v1/components/{part}/evidence",
            $"/v1/components/{part}/evidence/{evidence}",
            $"/v1/components/{part}/fittings", $"/v1/components/{part}/findings", $"/v1/components/{part}/deferrals",
            $"/v1/components/{part}/limits",
            $"/v1/vehicles/{car}/service-tasks", $"/v1/service-tasks/{task}", $"/v1/service-tasks/{task}/records",
            $"/v1/service-tasks/{task}/limits",
        ];

        foreach (var path in paths)
        {
            await (await foreigner.Ask(HttpMethod.Get, path)).Problem(404, "not-found");
        }

        await (await foreigner.Ask(HttpMethod.Patch, $"/v1/components/{part}", """{ "notes": "x" }""", "*")).Problem(404, "not-found");
        await (await foreigner.Ask(HttpMethod.Delete, $"/v1/components/{part}", ifMatch: "*"))
            .Problem(404, "not-found");
        await (await foreigner.Ask(HttpMethod.Post, $"/v1/vehicles/{car}/components", """{ "partKind": "tyre-road" }""")).Problem(404, "not-found");
        await (await foreigner.Ask(HttpMethod.Post, $"/v1/components/{part}/take-off", """{ "on": "2024-05-01", "to": "shelf" }""")).Problem(404, "not-found");
        Assert.Empty((await (await foreigner.Ask(HttpMethod.Get, "/v1/components")).Json()).Items());
        Assert.Empty((await (await foreigner.Ask(HttpMethod.Get, "/v1/shelf")).Json()).Items());

        var theirs = (await (await foreigner.Ask(HttpMethod.Post, "/v1/shelf", """{ "partKind": "tyre-road" }""")).Json()).Id();
        var stolen = await foreigner.Ask(HttpMethod.Post, $"/v1/components/{theirs}/fittings", $$"""{ "vehicleId": "{{car}}", "on": "2024-05-01" }""");
        Assert.Equal([("#/vehicleId", "no-such-vehicle")], (await stolen.Problem(422, "validation")).Errors());
    }

    [Fact]
    public async Task A_reader_reads_and_writes_nothing()
    {
        var app = shared.App;
        var car = await app.GivenVehicleAsync();
        using var reader = await app.GivenKeyAsync("reader");

        Assert.Equal(200, (int)(await reader.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/components")).StatusCode);
        await (await reader.Ask(HttpMethod.Post, $"/v1/vehicles/{car}/components", """{ "partKind": "tyre-road" }""")).Problem(403, "forbidden");
    }

    [Fact]
    public async Task A_spare_is_original_to_nothing_and_fitted_nowhere()
    {
        var app = shared.App;

        var problem = await (await app.Post(
            "/v1/shelf",
            new
            {
                partKind = "tyre-road",
                original = true,
                evidence = new[] { new { kind = "fitted", on = "2024-05-01" } }
            }))
            .Problem(422, "validation");

        Assert.Equal([("#/evidence/0", "not-on-a-vehicle"), ("#/original", "not-on-a-vehicle")], problem.Errors());
    }
}
