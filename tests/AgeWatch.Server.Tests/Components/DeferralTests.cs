using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

public sealed class DeferralTests(SharedApp shared) : IClassFixture<SharedApp>
{
    private static readonly object Decision = new
    {
        reason = "parts on order",
        person = "A. Keeper",
        untilOn = "2027-03-01",
        untilOdometer = Given.Mi(70000)
    };

    [Theory]
    [OnBothDatabases("components")]
    [OnBothDatabases("service-tasks")]
    public async Task A_decision_has_a_reason_a_person_and_two_ends(DatabaseKind kind, string under)
    {
        await using var app = await TestApp.StartAsync(kind);
        var subject = await app.GivenSubject(under);

        var made = await app.PostOk($"{subject}/deferrals", Decision);

        var path = $"{subject}/deferrals/{made.Id()}";
        Assert.Equal(("parts on order", "A. Keeper", "2026-11-25", "2027-03-01", "70000", null),
            (
                made.Text("reason"), made.Text("person"), made.Text("decidedOn"), made.Text("untilOn"),
                made.Text("untilOdometer", "value"), made.Text("endedAt")));
        await (await app.Post($"{subject}/deferrals", Decision)).Problem(409, "conflict");
        Assert.Equal(
            "2026-11-25T12:00:00Z", (await app.PostOk($"{path}/end", new { reason = "done" }, 200)).Text("endedAt"));
        await (await app.Post($"{path}/end", new { reason = "done" })).Problem(409, "conflict");
        await app.PostOk($"{subject}/deferrals", Decision);
        Assert.Equal(2, (await app.Read($"{subject}/deferrals")).Items().Count);
    }

    [Theory, OnBothDatabases]
    public async Task It_ends_by_itself(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var subject = await app.GivenSubject("components");
        var made = await app.PostOk($"{subject}/deferrals", Decision);

        // Adjusted, not advanced: the worker would poll its way through the months.
        app.Clock.AdjustTime(new(2027, 3, 1, 12, 0, 0, TimeSpan.Zero));
        await (await app.Post($"{subject}/deferrals", Decision)).Problem(409, "conflict");
        app.Clock.AdjustTime(app.Clock.GetUtcNow().AddDays(1));

        await (await app.Post($"{subject}/deferrals/{made.Id()}/end", new { reason = "late" }))
            .Problem(409, "conflict");
        await app.PostOk(
            $"{subject}/deferrals",
            new
            {
                reason = "still on order",
                person = "A. Keeper",
                untilOn = "2027-04-01",
                untilOdometer = Given.Mi(71000)
            });
    }

    [Theory, OnBothDatabases]
    public async Task None_is_offered_for_what_can_hurt_without_warning(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var hose = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync(), "brake-hose-flexible")}";

        var problem = await (await app.Post($"{hose}/deferrals", Decision)).Problem(409, "conflict");

        Assert.Contains("brake-hose-flexible", problem.Text("detail"));
        Assert.Equal([("#", "never-deferred")], problem.Errors());
        Assert.Empty((await app.Read($"{hose}/deferrals")).Items());
    }

    [Fact]
    public async Task None_is_needed_on_the_shelf()
    {
        var app = shared.App;

        await (await app.Post($"/v1/components/{await app.GivenSpare()}/deferrals", Decision)).Problem(409, "conflict");
    }

    [Theory]
    [InlineData("""{ "reason": "r", "person": "p", "untilOn": "2027-03-01" }""", 400, "#/untilOdometer", "missing-member")]
    [InlineData("""{ "reason": "r", "person": "p", "untilOdometer": { "value": 70000, "unit": "mi" } }""", 400, "#/untilOn", "missing-member")]
    [InlineData("""{ "reason": " ", "person": "p", "untilOn": "2027-03-01", "untilOdometer": { "value": 70000, "unit": "mi" } }""", 422, "#/reason", "not-one-line")]
    [InlineData("""{ "reason": "r", "person": "p", "untilOn": "2026-11-24", "untilOdometer": { "value": 70000, "unit": "mi" } }""", 422, "#/untilOn", "in-the-past")]
    [InlineData("""{ "reason": "r", "person": "p", "untilOn": "2027-03-01", "untilOdometer": { "value": 70000, "unit": "mi" }, "decidedOn": "2026-11-26" }""", 422, "#/decidedOn", "in-the-future")]
    public async Task A_decision_without_end_or_reason_is_none(string body, int status, string pointer, string code)
    {
        var app = shared.App;
        var subject = await app.GivenSubject("components");

        var problem = await (await app.Officer.Ask(HttpMethod.Post, $"{subject}/deferrals", body))
            .Problem(status, status == 400 ? "malformed-body" : "validation");

        Assert.Equal([(pointer, code)], problem.Errors());
    }
}
