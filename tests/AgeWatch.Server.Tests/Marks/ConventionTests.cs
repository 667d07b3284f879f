using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Marks;

/// <summary>A club's own conventions; works and marks are invented.</summary>
public sealed class ConventionTests
{
    private const string Path = "/v1/mark-conventions/north-works";

    // 1986, as the foreman told it.
    private static readonly object Own = new
    {
        key = "north-works",
        name = "North works, ink on the web",
        sourceNote = "Told by a retired foreman.",
        pattern = @"N(?<year>\d\d)-X",
        years = "1960-01-01/1999-12-31",
        examples = new[] { new { mark = "N86-X", means = new[] { "1986" } } },
    };

    /// <summary>
    /// N95-X is first taken for 1995; then the nine turns out to be the works' number and the five the last figure of a
    /// year of the seventies. Every stored due day that rests on the mark moves twenty years back.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task A_change_reads_stored_marks_again_at_once_and_keeps_what_was(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        await app.PostOk("/v1/mark-conventions", Own);
        var hose =
            $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync(), "radiator-hose", new { kind = "mark", text = "N95-X", convention = "north-works", on = "2024-05-01" })}";
        var spare = $"/v1/components/{await app.GivenSpare()}";
        await app.PostOk($"{spare}/evidence", new { kind = "mark", text = "N95-X", on = "2024-05-01" });
        Assert.Equal("1995-01-01", Born(await app.Read($"{hose}/due")));
        Assert.Equal("1995-01-01", Born(await app.Read($"{spare}/due")));
        var dueBefore = await StoredDue(app);

        var changed = await app.Patch(Path, new
        {
            pattern = @"N\d(?<year>\d)-X",
            years = "1970-01-01/1979-12-31",
            examples = new[] { new { mark = "N95-X", means = new[] { "1975" } } },
        });

        Assert.Equal(200, (int)changed.StatusCode);
        Assert.Equal(changed.Headers.ETag!.ToString(), await app.Tag(Path));
        Assert.Equal("1975-01-01", Born(await app.Read($"{hose}/due")));
        Assert.Equal("1975-01-01", Born(await app.Read($"{spare}/due")));
        var dueAfter = await StoredDue(app);
        Assert.Equal(dueBefore.Count, dueAfter.Count);
        Assert.All(dueBefore.Zip(dueAfter), pair =>
            Assert.True(string.CompareOrdinal(pair.Second, pair.First) < 0, $"{pair.First} became {pair.Second}"));
        Assert.Equal("N95-X", (await app.Read($"{hose}/evidence")).Items()[0].Text("text"));
        var told = (await app.Read("/v1/events?type=mark-convention.changed")).Items()[0].GetProperty("data");
        Assert.Equal(@"N(?<year>\d\d)-X", told.GetProperty("before").Text("pattern"));
        Assert.Equal("1970-01-01/1979-12-31", told.GetProperty("after").Text("years"));
    }

    [Theory, OnBothDatabases]
    public async Task Examples_that_no_longer_come_out_refuse_the_change(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        await app.PostOk("/v1/mark-conventions", Own);
        var tag = await app.Tag(Path);

        var problem = await (await app.Patch(Path, new { pattern = @"M(?<year>\d\d)-X" })).Problem(422, "validation");

        Assert.Equal([("#/examples/0", "example-fails")], problem.Errors());
        Assert.Equal(tag, await app.Tag(Path));
        Assert.Equal(
            [("#/key", "fixed")],
            (await (await app.Patch(Path, new { key = "south-works" })).Problem(422, "validation")).Errors());
        Assert.Equal([("#/name", "missing-member")], (await (await app.Officer.Ask(HttpMethod.Patch, Path, """{ "name": null }""", tag)).Problem(422, "validation")).Errors());
        Assert.Equal(tag, await app.Tag(Path));
    }

    [Theory, OnBothDatabases]
    public async Task A_change_names_the_version_it_changes(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        await app.PostOk("/v1/mark-conventions", Own);
        var tag = await app.Tag(Path);
        await (await app.Officer.Ask(HttpMethod.Patch, Path, """{ "name": "N" }""")).Problem(428, "precondition-required");

        Assert.Equal(200, (int)(await app.Officer.Ask(HttpMethod.Patch, Path, """{ "name": "North" }""", tag)).StatusCode);

        await (await app.Officer.Ask(HttpMethod.Patch, Path, """{ "name": "N" }""", tag)).Problem(412, "precondition-failed");
        Assert.Equal("North", (await app.Read(Path)).Text("name"));
        var same = await app.Tag(Path);
        Assert.Equal(200, (int)(await app.Patch(Path, new { name = "North" })).StatusCode);
        Assert.Equal(same, await app.Tag(Path));
    }

    [Fact]
    public async Task What_is_built_in_and_what_is_another_clubs_cannot_be_changed()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        await app.PostOk("/v1/mark-conventions", Own);

        await (await app.Officer.Ask(HttpMethod.Patch, "/v1/mark-conventions/tin-wwyy", """{ "name": "N" }""", "*")).Problem(409, "conflict");
        using var foreigner = await app.GivenForeigner();
        await (await foreigner.Ask(HttpMethod.Patch, Path, """{ "name": "N" }""", "*")).Problem(404, "not-found");
        await (await app.Post("/v1/mark-conventions", Own)).Problem(409, "conflict");
    }

    private static string? Born(JsonElement due) => due.GetProperty("answer").GetProperty("born").Text("earliest");

    private static async Task<List<string>> StoredDue(TestApp app) =>
        [.. (await app.Read("/v1/due"))
            .Items()
            .OrderBy(item => item.Text("subjectId"), StringComparer.Ordinal)
            .Select(item => item.Text("dueEarliest")!)];
}
