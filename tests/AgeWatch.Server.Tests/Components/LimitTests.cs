using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

public sealed class LimitTests(SharedApp shared) : IClassFixture<SharedApp>
{
    [Theory]
    [OnBothDatabases("components")]
    [OnBothDatabases("service-tasks")]
    public async Task A_number_comes_back_as_it_was_given(DatabaseKind kind, string under)
    {
        await using var app = await TestApp.StartAsync(kind);
        var subject = await app.GivenSubject(under);
        var before = await app.Tag(subject);

        var made = await app.PostOk($"{subject}/limits", new
        {
            level = "replace-by",
            tag = "maker",
            from = "fitting",
            months = 120,
            distance = Given.Mi(60001),
            reference = "Handbook, page 40",
            notedBy = "A. Keeper",
        });

        var path = $"{subject}/limits/{made.Id()}";
        Assert.NotEqual(before, await app.Tag(subject));
        Assert.Equal(("replace-by", "maker", "fitting", "120", "60001", "mi", "Handbook, page 40"),
            (
                made.Text("level"), made.Text("tag"), made.Text("from"), made.Text("months"),
                made.Text("distance", "value"), made.Text("distance", "unit"), made.Text("reference")));
        Assert.Equal(made.ToString(), (await app.Read(path)).ToString());
        var changed = await (await app.Patch(path, new { months = 96, distance = (object?)null })).Json();
        Assert.Equal(("96", null), (changed.Text("months"), changed.Text("distance")));
        await (await app.Officer.Ask(HttpMethod.Patch, path, "{}")).Problem(428, "precondition-required");
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: await app.Tag(path))).StatusCode);
        Assert.Empty((await app.Read($"{subject}/limits")).Items());
    }

    [Theory, OnBothDatabases]
    public async Task A_last_day_stands_alone(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var subject = await app.GivenSubject("components");

        var made = await app.PostOk(
            $"{subject}/limits",
            new { level = "stop-use", tag = "label", reference = "Page 4", lastDay = "2030-12-31" });

        Assert.Equal(("2030-12-31", null), (made.Text("lastDay"), made.Text("from")));
        var path = $"{subject}/limits/{made.Id()}";
        Assert.Equal(
            "2029-12-31", (await (await app.Patch(path, new { lastDay = "2029-12-31" })).Json()).Text("lastDay"));
    }

    /// <summary>
    /// Filled on 2020-03-10, 60 months: with the end of the year the last good day is 31 December 2025, reached on
    /// 2026-01-01; a law of 12 months that bites from 2027-01-01 cannot be reached before that day.
    /// </summary>
    [Theory, OnBothDatabases]
    public async Task The_end_of_the_year_and_the_day_a_law_bites_are_kept_and_count(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var hose = await app.GivenComponent(car, "radiator-hose", new { kind = "fill", on = "2020-03-10" });
        var path = $"/v1/components/{hose}/limits";

        const string reference = "Page 4";
        var label = await app.PostOk(
            path,
            new { level = "stop-use", tag = "label", reference, from = "fill", months = 60, endRule = "year-end" });
        var law = await app.PostOk(
            path,
            new { level = "stop-use", tag = "law", reference, from = "fill", months = 12, validFrom = "2027-01-01" });

        Assert.Equal(("year-end", null), (label.Text("endRule"), label.Text("validFrom")));
        Assert.Equal(("day", "2027-01-01"), (law.Text("endRule"), law.Text("validFrom")));
        Assert.Equal(law.ToString(), (await app.Read($"{path}/{law.Id()}")).ToString());
        var limits = (await app.Read($"/v1/components/{hose}/due"))
            .GetProperty("answer")
            .GetProperty("limits")
            .EnumerateArray()
            .ToList();
        Assert.Equal("2026-01-01", limits.Single(l => l.Text("tag") == "label").Text("due", "earliest"));
        Assert.Equal("2027-01-01", limits.Single(l => l.Text("tag") == "law").Text("due", "earliest"));
        Assert.Equal(
            "month-end",
            (await (await app.Patch($"{path}/{label.Id()}", new { endRule = "month-end" })).Json()).Text("endRule"));
    }

    [Theory, OnBothDatabases]
    public async Task Two_limits_of_one_part_change_side_by_side(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var subject = await app.GivenSubject("components");
        List<(string Path, string Tag)> limits = [];
        for (var i = 0; i < 6; i++)
        {
            var made = await app.PostOk(
                $"{subject}/limits",
                new { level = "replace-by", tag = "maker", reference = "Page 4", from = "manufacture", months = 120 });
            var path = $"{subject}/limits/{made.Id()}";
            limits.Add((path, await app.Tag(path)));
        }

        var answers = await Task.WhenAll(limits.Select(limit => app.Officer.Ask(HttpMethod.Patch, limit.Path, """{ "months": 60 }""", limit.Tag)));

        Assert.All(answers, answer => Assert.Equal(200, (int)answer.StatusCode));
    }

    [Theory]
    [InlineData("""{ "level": "replace-by", "tag": "law", "from": "fill", "months": 60 }""", 422, "#/reference", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "label", "from": "fill", "months": 60 }""", 422, "#/reference", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "from": "fill", "months": 60 }""", 422, "#/reference", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "standard", "from": "fill", "months": 60 }""", 422, "#/reference", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "own", "from": "fill", "months": 60, "reason": "Dry", "reviewOn": "2027-11-25" }""", 422, "#/notedBy", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "own", "from": "fill", "months": 60, "notedBy": "A", "reviewOn": "2027-11-25" }""", 422, "#/reason", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "own", "from": "fill", "months": 60, "notedBy": "A", "reason": "Dry" }""", 422, "#/reviewOn", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "own", "from": "fill", "months": 60, "notedBy": "A", "reason": "Dry", "reviewOn": "2099-01-01" }""", 422, "#/reviewOn", "out-of-range")]
    [InlineData("""{ "level": "replace-by", "tag": "practice", "from": "fill", "months": 60, "reviewOn": "2027-11-25" }""", 422, "#/reviewOn", "not-together")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "reference": "Page 4" }""", 422, "#/months", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "reference": "Page 4", "months": 60 }""", 422, "#/from", "missing")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "reference": "Page 4", "months": 0, "from": "fill" }""", 422, "#/months", "out-of-range")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "reference": "Page 4", "months": 60, "from": "finding" }""", 422, "#/from", "not-allowed")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "reference": "Page 4", "months": 60, "from": "fill", "lastDay": "2030-12-31" }""", 422, "#/lastDay", "not-together")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "reference": "Page 4", "lastDay": "2030-12-31", "from": "fill" }""", 422, "#/from", "not-together")]
    [InlineData("""{ "level": "replace-by", "tag": "maker", "reference": "Page 4", "from": "fill", "distance": { "value": 0, "unit": "km" } }""", 422, "#/distance", "out-of-range")]
    [InlineData("""{ "level": "stop-use", "tag": "label", "reference": "Page 4", "lastDay": "2030-12-31", "endRule": "year-end" }""", 422, "#/endRule", "not-together")]
    [InlineData("""{ "level": "stop-use", "tag": "maker", "reference": "Page 4", "months": 60, "from": "fill", "validFrom": "2030-01-01" }""", 422, "#/validFrom", "not-together")]
    [InlineData("""{ "level": "replace-by", "months": 60, "from": "fill" }""", 400, "#/tag", "missing-member")]
    [InlineData("""{ "level": "replace-by", "tag": "rumour", "months": 60, "from": "fill" }""", 400, "#/tag", "unknown-value")]
    public async Task A_limit_that_says_nothing_is_refused(string body, int status, string pointer, string code)
    {
        var app = shared.App;
        var subject = await app.GivenSubject("components");

        var problem = await (await app.Officer.Ask(HttpMethod.Post, $"{subject}/limits", body))
            .Problem(status, status == 400 ? "malformed-body" : "validation");

        Assert.Contains((pointer, code), problem.Errors());
    }
}
