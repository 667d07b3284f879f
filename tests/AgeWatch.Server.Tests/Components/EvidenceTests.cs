using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

public sealed class EvidenceTests(SharedApp shared) : IClassFixture<SharedApp>
{
    private static readonly object Mark = new
    {
        kind = "mark",
        text = "3/94",
        on = "2024-05-01",
        notedBy = "A. Keeper"
    };

    [Theory, OnBothDatabases]
    public async Task Added_evidence_moves_the_version_of_the_part(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var path = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}";
        var before = await app.Tag(path);

        var made = await app.Post($"{path}/evidence", Mark);

        Assert.Equal(201, (int)made.StatusCode);
        Assert.NotEqual(before, await app.Tag(path));
        Assert.Equal("3/94", (await app.Read(path)).GetProperty("evidence")[0].Text("text"));
        var own = new Uri(made.Headers.Location!.ToString()).AbsolutePath;
        Assert.Equal(made.Headers.ETag!.ToString(), await app.Tag(own));
        await (await app.Officer.Ask(HttpMethod.Patch, path, """{ "lot": "L1" }""", before)).Problem(412, "precondition-failed");
    }

    [Theory, OnBothDatabases]
    public async Task A_second_reading_leaves_the_first_to_be_seen(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var path = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync(), "radiator-hose", Mark)}";
        var first = (await app.Read($"{path}/evidence")).Items()[0].Id();
        app.Clock.Advance(TimeSpan.FromHours(1));

        var response = await app.Patch($"{path}/evidence/{first}", new { convention = "quarter-year" });

        Assert.Equal(200, (int)response.StatusCode);
        var again = await response.Json();
        Assert.NotEqual(first, again.Id());
        Assert.Equal($"{path}/evidence/{again.Id()}", response.Content.Headers.ContentLocation!.ToString());
        Assert.Equal(("3/94", "quarter-year", "2024-05-01", "A. Keeper", "2026-11-25T13:00:00Z", null),
            (
                again.Text("text"), again.Text("convention"), again.Text("on"), again.Text("notedBy"),
                again.Text("recordedAt"), again.Text("withdrawnAt")));
        var old = await app.Read($"{path}/evidence/{first}");
        Assert.Equal(
            ("3/94", null, "2026-11-25T13:00:00Z"),
            (old.Text("text"), old.Text("convention"), old.Text("withdrawnAt")));
        Assert.Contains(again.Id().ToString(), old.Text("withdrawnReason"));
        Assert.Equal([again.Id()], (await app.Read(path)).GetProperty("evidence").EnumerateArray().Select(e => e.Id()));
        Assert.Equal(2, (await app.Read($"{path}/evidence")).Items().Count);
        Assert.Equal([first], (await app.Read($"{path}/evidence?withdrawn=true")).Items().Select(e => e.Id()));
        await (await app.Patch($"{path}/evidence/{first}", new { convention = "month-year" })).Problem(409, "conflict");
    }

    [Theory, OnBothDatabases]
    public async Task Only_the_reading_of_a_mark_can_change(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var path = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync(), "radiator-hose", Mark)}";
        var mark = $"{path}/evidence/{(await app.Read($"{path}/evidence")).Items()[0].Id()}";
        var invoice =
            $"{path}/evidence/{(await app.PostOk($"{path}/evidence", new { kind = "document", on = "2019-04-01" })).Id()}";
        var before = await app.Tag(path);

        Assert.Equal(
            [("#/text", "unknown-member")],
            (await (await app.Patch(mark, new { text = "3/95" })).Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/convention", "unknown-convention")],
            (await (await app.Patch(mark, new { convention = "mine" })).Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/convention", "not-a-mark")],
            (await (await app.Patch(invoice, new { convention = "quarter-year" }))
                .Problem(422, "validation")).Errors());
        Assert.Equal(200, (int)(await app.Patch(mark, new { })).StatusCode);
        await (await app.Officer.Ask(HttpMethod.Delete, mark, ifMatch: "*")).Problem(405, "method-not-allowed");
        Assert.Equal(before, await app.Tag(path));
    }

    [Theory, OnBothDatabases]
    public async Task Withdrawn_evidence_stays_with_its_reason(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var path = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync(), "radiator-hose", Mark)}";
        var mark = $"{path}/evidence/{(await app.Read($"{path}/evidence")).Items()[0].Id()}";

        var withdrawn = await app.PostOk($"{mark}/withdraw", new { reason = "Read off the old hose" }, 200);

        Assert.Equal("Read off the old hose", withdrawn.Text("withdrawnReason"));
        Assert.Equal("2026-11-25T12:00:00Z", (await app.Read(mark)).Text("withdrawnAt"));
        Assert.Equal(0, (await app.Read(path)).GetProperty("evidence").GetArrayLength());
        await (await app.Post($"{mark}/withdraw", new { reason = "again" })).Problem(409, "conflict");
        Assert.Equal(
            [("#/reason", "missing-member")],
            (await (await app.Post($"{mark}/withdraw", new { })).Problem(400, "malformed-body")).Errors());
    }

    [Theory, OnBothDatabases]
    public async Task Evidence_added_at_once_is_all_kept(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var path = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}";

        var answers = await Task.WhenAll(Enumerable.Range(1, 10).Select(i =>
            app.Post($"{path}/evidence", new { kind = "document", on = $"2019-04-{i:00}" })));

        Assert.All(answers, answer => Assert.Equal(201, (int)answer.StatusCode));
        Assert.Equal(10, (await app.Read(path)).GetProperty("evidence").GetArrayLength());
        Assert.StartsWith("\"11-", await app.Tag(path));
    }

    [Fact]
    public async Task A_fitted_day_belongs_to_a_fitting()
    {
        var app = shared.App;
        var path = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}/evidence";

        Assert.Equal(
            [("#/kind", "not-here")],
            (await (await app.Post(path, new { kind = "fitted", on = "2024-05-01" }))
                .Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/on", "in-the-future")],
            (await (await app.Post(path, new { kind = "plate", on = "2026-11-26" }))
                .Problem(422, "validation")).Errors());
    }
}
