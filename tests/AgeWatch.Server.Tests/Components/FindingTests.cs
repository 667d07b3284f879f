using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

public sealed class FindingTests(SharedApp shared) : IClassFixture<SharedApp>
{
    [Theory]
    [OnBothDatabases("components")]
    [OnBothDatabases("service-tasks")]
    public async Task What_was_seen_is_kept_and_withdrawn_never_removed(DatabaseKind kind, string under)
    {
        await using var app = await TestApp.StartAsync(kind);
        var subject = await app.GivenSubject(under);
        var before = await app.Tag(subject);

        var made = await app.PostOk($"{subject}/findings", new
        {
            on = "2026-06-01",
            grade = "watch",
            sign = "surface cracks",
            measured = new { value = 1.588, unit = "mm", quantity = "tread depth" },
            note = "inner edge",
            foundBy = "A. Keeper",
        });

        var path = $"{subject}/findings/{made.Id()}";
        Assert.NotEqual(before, await app.Tag(subject));
        Assert.Equal(made.ToString(), (await app.Read(path)).ToString());
        Assert.Equal(("2026-06-01", "watch", "surface cracks", "tread depth", "1.588", "mm"),
            (
                made.Text("on"), made.Text("grade"), made.Text("sign"), made.Text("measured", "quantity"),
                made.Text("measured", "value"), made.Text("measured", "unit")));
        Assert.Equal("wrong wheel", (await app.PostOk($"{path}/withdraw", new { reason = "wrong wheel" }, 200))
            .Text("withdrawnReason"));
        await (await app.Post($"{path}/withdraw", new { reason = "again" })).Problem(409, "conflict");
        await (await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: "*")).Problem(405, "method-not-allowed");
        Assert.Equal([made.Id()], (await app.Read($"{subject}/findings")).Items().Select(f => f.Id()));
    }

    [Theory]
    [InlineData("""{ "on": "2026-11-26", "grade": "pass" }""", 422, "#/on", "in-the-future")]
    [InlineData("""{ "on": "2026-11-25", "grade": "good" }""", 400, "#/grade", "unknown-value")]
    [InlineData("""{ "on": "2026-11-25", "grade": "pass", "measured": { "value": 2 } }""", 400, "#/measured/unit", "missing-member")]
    [InlineData("""{ "on": "2026-11-25", "grade": "pass", "measured": { "value": 1.5999, "unit": "mm" } }""", 422, "#/measured", "too-precise")]
    public async Task A_finding_that_cannot_be_is_refused(string body, int status, string pointer, string code)
    {
        var app = shared.App;
        var subject = await app.GivenSubject("components");

        var problem = await (await app.Officer.Ask(HttpMethod.Post, $"{subject}/findings", body))
            .Problem(status, status == 400 ? "malformed-body" : "validation");

        Assert.Equal([(pointer, code)], problem.Errors());
    }

    [Fact]
    public async Task A_finding_is_under_its_own_subject_only()
    {
        var app = shared.App;
        var (one, other) = (await app.GivenSubject("components"), await app.GivenSubject("components"));
        var finding = await app.PostOk($"{one}/findings", new { on = "2026-06-01", grade = "fail" });

        await (await app.Officer.Ask(HttpMethod.Get, $"{other}/findings/{finding.Id()}")).Problem(404, "not-found");
        await (
            await app.Officer.Ask(
                HttpMethod.Get,
                $"{one.Replace("components", "service-tasks", StringComparison.Ordinal)}/findings"))
                    .Problem(404, "not-found");
    }

    /// <summary>Looked at on 2026-05-01 with 60,123 mi on the odometer: it comes back as given and is a reading of the
    /// car.</summary>
    [Theory, OnBothDatabases]
    public async Task What_the_odometer_showed_at_a_look_is_kept(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var hose = await app.GivenComponent(car);

        var made = await app.PostOk(
            $"/v1/components/{hose}/findings", new { on = "2026-05-01", grade = "pass", odometer = Given.Mi(60123) });

        Assert.Equal(("60123", "mi"), (made.Text("odometer", "value"), made.Text("odometer", "unit")));
        Assert.Equal(made.ToString(), (await app.Read($"/v1/components/{hose}/findings/{made.Id()}")).ToString());
        var part = (await app.Read($"/v1/vehicles/{car}/status-list")).Items().Single();
        Assert.Equal("2026-05-01", part.Text("distance", "countedOn"));
    }
}
