using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.WalkRounds;

public sealed class WalkRoundTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>
    /// A car of May 1987 of which nothing is known. The catalogue: brake-hose-flexible has its mark as a "printed
    /// legend on hose", kills without warning, and ends after 72 months: overdue since 1993-05-01. The tyre's "4598" is
    /// week 45 of 1998.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task Answers_of_one_walk_become_parts_evidence_findings_and_records(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var path = $"/v1/vehicles/{car}/walk-round";
        var walk = await app.Read(path);
        var hose = Question(walk, "brake-hose-flexible");
        Assert.Equal(("wheel-off-front", "find", null, "overdue", "1993-05-01"),
            (
                hose.Text("area"), hose.Text("purpose"), hose.Text("subjectId"), hose.Text("state"),
                hose.Text("due", "earliest")));
        Assert.StartsWith("printed legend on hose", hose.Text("where"), StringComparison.Ordinal);
        Assert.Contains(walk.GetProperty("cautions").EnumerateArray(), c => c.Text("key") == "lifting");
        Assert.Contains(walk.GetProperty("aboutVehicle").EnumerateArray(), q =>
            q.GetString()!.Contains("odometer", StringComparison.Ordinal));

        var answered = await app.PostOk(path, new
        {
            seenOn = "2026-11-20",
            by = "A. Keeper",
            answers = new object[]
            {
                new { partKind = "brake-hose-flexible", position = "front left", mark = "10/1/96",
                convention = "fmvss106-hose", finding = new { grade = "watch", sign = "surface cracks" } },
                new { partKind = "tyre-road", position = "front left", mark = "4598", maker = "Orrell" },
                new { partKind = "brake-fluid-glycol", lastDoneOn = "2024-05-01", odometer = Given.Mi(61200) },
                new { partKind = "air-bag", outcome = "absent" },
                new { partKind = "wiring-loom", outcome = "could-not-see", note = "behind the dash" },
                new { partKind = "seat-belt", position = "driver", fittedOn = "2020-03-01" },
            },
        }, 200);

        var taken = answered.GetProperty("answers").EnumerateArray().ToList();
        Assert.Equal([true, true, true, false, false, true], taken.Select(t => t.GetProperty("created").GetBoolean()));
        var id = taken[0].GetProperty("subjectId").GetGuid();
        var made = await app.Read($"/v1/components/{id}");
        Assert.Equal(("front left", "10/1/96", "fmvss106-hose", "2026-11-20", "A. Keeper"),
            (made.Text("position"), Mark(made)
                .Text("text"), Mark(made)
                .Text("convention"), Mark(made)
                .Text("on"), Mark(made)
                .Text("notedBy")));
        Assert.Equal("watch", (await app.Read($"/v1/components/{id}/findings")).Items().Single().Text("grade"));
        Assert.Equal("1996-10-01", (await app.Read($"/v1/components/{id}/due")).Text("answer", "born", "earliest"));
        var fluid = (await app.Read($"/v1/vehicles/{car}/service-tasks")).Items().Single();
        Assert.Equal(
            ("2024-05-01", "61200"), (fluid.Text("lastDone", "on"), fluid.Text("lastDone", "odometer", "value")));
        Assert.Equal("2020-03-01", (await app.Read($"/v1/components/{taken[5].Text("subjectId")}"))
            .Text("fitting", "on"));

        var after = await app.Read(path);
        Assert.DoesNotContain(after.GetProperty("questions").EnumerateArray(), q => q.Text("partKind") == "air-bag");
        Assert.Equal("air-bag", after.GetProperty("absent").EnumerateArray().Single().Text("partKind"));
        Assert.Equal("behind the dash", Question(after, "wiring-loom").Text("couldNotSee", "note"));
        Assert.DoesNotContain((await app.Read($"/v1/vehicles/{car}/due"))
            .GetProperty("notRecorded")
            .EnumerateArray(), n => n.Text("partKind") == "air-bag");
    }

    /// <summary>What could not be seen is as bad as before, word for word; and a later "could not see" takes an
    /// "absent" back.</summary>
    [Theory, OnBothDatabases]
    public async Task What_could_not_be_seen_gets_no_better(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var hose = await app.GivenComponent(car, "brake-hose-flexible");
        var before = (await app.Read($"/v1/components/{hose}/due")).Text("answer");

        await app.PostOk($"/v1/vehicles/{car}/walk-round", new
        {
            seenOn = "2026-11-20",
            answers = new object[]
            {
                new { subjectId = hose, outcome = "could-not-see" },
                new { partKind = "air-bag", outcome = "absent" },
                new { partKind = "air-bag", outcome = "could-not-see" },
            },
        }, 200);

        Assert.Equal(before, (await app.Read($"/v1/components/{hose}/due")).Text("answer"));
        var walk = await app.Read($"/v1/vehicles/{car}/walk-round");
        Assert.Equal("2026-11-20", walk.GetProperty("questions")
            .EnumerateArray()
            .Single(q => q.Text("subjectId") == hose.ToString())
            .Text("couldNotSee", "on"));
        Assert.Contains((await app.Read($"/v1/vehicles/{car}/due")).GetProperty("notRecorded").EnumerateArray(), n =>
            n.Text("partKind") == "air-bag");
    }

    [Theory, OnBothDatabases]
    public async Task One_answer_that_cannot_stand_keeps_all_out(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var fitted = await app.GivenComponent(car, "radiator-hose", new { kind = "fitted", on = "2020-01-01" });

        var problem = await (await app.Post($"/v1/vehicles/{car}/walk-round", new
        {
            seenOn = "2026-11-26",
            answers = new object[]
            {
                new { partKind = "brake-hose-flexible", position = "front left", mark = "10/1/96" },
                new { partKind = "no-such-thing" },
                new { partKind = "tyre-road", mark = "4598", convention = "nobody-knows" },
                new { subjectId = Guid.CreateVersion7(), mark = "x" },
                new { partKind = "seat-belt", fittedOn = "2026-12-01" },
                new { partKind = "engine-oil", mark = "x" },
                new { partKind = "brake-hose-flexible", position = "front left" },
                new { subjectId = fitted, fittedOn = "2021-01-01" },
                new { partKind = "radiator-hose", outcome = "absent" },
            },
        })).Problem(422, "validation");

        Assert.Equal(
            [
                ("#/seenOn", "in-the-future"), ("#/answers/1/partKind", "unknown-part-kind"),
                ("#/answers/2/convention", "unknown-convention"),
                ("#/answers/3/subjectId", "no-such-subject"), ("#/answers/4/fittedOn", "in-the-future"),
                ("#/answers/5/mark", "not-a-part"),
                ("#/answers/5/lastDoneOn", "missing"), ("#/answers/6/partKind", "already-recorded"),
                ("#/answers/7/fittedOn", "already-known"),
                ("#/answers/8/outcome", "recorded"),
            ],
            problem.Errors());
        Assert.Single((await app.Read($"/v1/vehicles/{car}/components")).Items());
        Assert.Empty((await app.Read($"/v1/vehicles/{car}/service-tasks")).Items());
    }

    /// <summary>One hose read leaves the others as old as the car of May 1987: 72 months by common practice, overdue
    /// since 1993-05-01.</summary>
    [Theory, OnBothDatabases]
    public async Task One_of_several_leaves_the_others_to_be_asked_about(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var path = $"/v1/vehicles/{car}/walk-round?most=200";
        await app.PostOk(
            path[..^9],
            new
            {
                seenOn = "2026-11-20",
                answers = new[] { new { partKind = "brake-hose-flexible", position = "front left", mark = "2026-01" } }
            },
            200);

        var others = Question(await app.Read(path), "brake-hose-flexible");
        Assert.Equal(
            ("others", null, "overdue", "1993-05-01"),
            (others.Text("purpose"), others.Text("subjectId"), others.Text("state"), others.Text("due", "earliest")));
        Assert.StartsWith("printed legend on hose", others.Text("where"), StringComparison.Ordinal);

        var problem = await (await app.Post(path[..^9], new
        {
            seenOn = "2026-11-20",
            answers = new object[]
            {
                new { partKind = "tyre-road", outcome = "no-others" },
                new { partKind = "engine-oil", outcome = "no-others" },
                new { partKind = "seat-belt", outcome = "no-others" },
                new { partKind = "seat-belt", position = "driver" },
            },
        })).Problem(422, "validation");
        Assert.Equal(
            [("#/answers/0/outcome", "not-recorded"), ("#/answers/1/outcome", "not-a-part")], problem.Errors());

        await app.PostOk(
            path[..^9],
            new
            {
                seenOn = "2026-11-21",
                by = "A. Keeper",
                answers = new[] { new { partKind = "brake-hose-flexible", outcome = "no-others" } }
            },
            200);
        var after = await app.Read(path);
        Assert.DoesNotContain(after.GetProperty("questions").EnumerateArray(), q =>
            q.Text("partKind") == "brake-hose-flexible");
        Assert.Equal(("brake-hose-flexible", "2026-11-21", "A. Keeper"),
            (after.GetProperty("complete")[0]
                .Text("partKind"), after.GetProperty("complete")[0]
                .Text("on"), after.GetProperty("complete")[0]
                .Text("by")));

        // A later doubt asks again.
        await app.PostOk(
            path[..^9],
            new
            {
                seenOn = "2026-11-22",
                answers = new[] { new { partKind = "brake-hose-flexible", outcome = "could-not-see" } }
            },
            200);
        Assert.Equal("others", Question(await app.Read(path), "brake-hose-flexible").Text("purpose"));
    }

    /// <summary>The vehicle's own questions go back in the same form: built and odometer, with everything else or not
    /// at all.</summary>
    [Theory, OnBothDatabases]
    public async Task Built_and_odometer_come_in_the_same_form(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync(built: null);
        var path = $"/v1/vehicles/{car}/walk-round";
        Assert.Equal(
            [("#/answers", "says-nothing")],
            (await (await app.Post(path, new { seenOn = "2026-11-20", answers = Array.Empty<object>() }))
                .Problem(422, "validation")).Errors());
        var problem = await (await app.Post(path, new
        {
            seenOn = "2026-11-20",
            built = "1987-05",
            odometer = new { value = 61_200, unit = "km" },
            answers = new[] { new { partKind = "radiator-hose", fittedOn = "1986-01-01" } },
        })).Problem(422, "validation");
        Assert.Equal([("#/odometer/unit", "wrong-unit"), ("#/answers/0/fittedOn", "before-built")], problem.Errors());
        Assert.Null((await app.Read($"/v1/vehicles/{car}")).Text("built"));

        var taken = await app.PostOk(
            path,
            new
            {
                seenOn = "2026-11-20",
                by = "A. Keeper",
                built = "1987",
                odometer = Given.Mi(61_200),
                answers = Array.Empty<object>()
            },
            200);
        Assert.Equal("1987", taken.Text("built"));
        var reading = await app.Read($"/v1/vehicles/{car}/odometer-readings/{taken.Text("odometerReadingId")}");
        Assert.Equal(
            ("2026-11-20", "61200", "A. Keeper"), (reading.Text("on"), reading.Text("value"), reading.Text("notedBy")));

        Assert.Equal(
            "1987-05",
            (await app.PostOk(
                path, new { seenOn = "2026-11-21", built = "1987-05", answers = Array.Empty<object>() },
                200)).Text("built"));
        Assert.Equal(
            [("#/built", "already-known")],
            (await (
                await app.Post(path, new { seenOn = "2026-11-21", built = "1988", answers = Array.Empty<object>() }))
                    .Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/built", "in-the-future")],
            (await (
                await app.Post(path, new { seenOn = "2026-11-21", built = "2027", answers = Array.Empty<object>() }))
                    .Problem(422, "validation")).Errors());
        Assert.Equal("1987-05", (await app.Read($"/v1/vehicles/{car}")).Text("built"));
        Assert.DoesNotContain((await app.Read(path)).GetProperty("aboutVehicle").EnumerateArray(), q =>
            q.GetString()!.Contains("odometer", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("""{ "partKind": "air-bag", "subjectId": "0198c0a0-0000-7000-8000-000000000000", "mark": "x" }""", "#/answers/0/subjectId", "one-of")]
    [InlineData("""{ "partKind": "air-bag", "outcome": "absent", "mark": "x" }""", "#/answers/0/outcome", "not-together")]
    [InlineData("""{ "subjectId": "0198c0a0-0000-7000-8000-000000000000" }""", "#/answers/0/outcome", "says-nothing")]
    [InlineData("""{ "subjectId": "0198c0a0-0000-7000-8000-000000000000", "mark": "2319", "note": "wet" }""", "#/answers/0/note", "not-together")]
    [InlineData("""{ "partKind": "air-bag", "odometer": { "value": 1, "unit": "km" } }""", "#/answers/0/fittedOn", "missing")]
    [InlineData("""{ "subjectId": "0198c0a0-0000-7000-8000-000000000000", "outcome": "no-others" }""", "#/answers/0/outcome", "not-together")]
    [InlineData("""{ "partKind": "air-bag", "hours": 3 }""", "#/answers/0/fittedOn", "missing")]
    [InlineData("""{ "partKind": "air-bag", "triangle": true }""", "#/answers/0/mark", "missing")]
    public async Task An_answer_that_contradicts_itself_is_refused(string answer, string pointer, string code)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync();

        var problem = await (await app.Officer.Ask(HttpMethod.Post, $"/v1/vehicles/{car}/walk-round", $$"""{ "seenOn": "2026-11-20", "answers": [{{answer}}] }"""))
            .Problem(422, "validation");

        Assert.Equal([(pointer, code)], problem.Errors());
    }

    [Fact]
    public async Task It_can_be_carried_along_on_paper()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync(name: "<b>Car</b>");

        var response = await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/walk-round?format=html&most=5");

        Assert.Equal("text/html", response.Content.Headers.ContentType!.MediaType);
        var page = await response.Content.ReadAsStringAsync(Stop);
        Assert.DoesNotContain("<b>", page, StringComparison.Ordinal);
        Assert.Equal(5, page.Split("could not see</span>").Length - 1);
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/walk-round?most=0"))
            .Problem(400, "invalid-parameter");
        using var reader = await app.GivenKeyAsync("reader");
        Assert.Equal(200, (int)(await reader.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/walk-round")).StatusCode);
        await (await reader.Ask(HttpMethod.Post, $"/v1/vehicles/{car}/walk-round", """{ "seenOn": "2026-11-20", "answers": [{ "partKind": "air-bag" }] }""")).Problem(403, "forbidden");
    }

    private static JsonElement Question(JsonElement walk, string kind) =>
        walk.GetProperty("questions").EnumerateArray().Single(q => q.Text("partKind") == kind);

    private static JsonElement Mark(JsonElement component) =>
        component.GetProperty("evidence").EnumerateArray().Single(e => e.Text("kind") == "mark");
}
