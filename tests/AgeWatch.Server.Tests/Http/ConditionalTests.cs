using System.Net;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Http;

public sealed class ConditionalOnSqliteTests(SqliteHttp app) : ConditionalTests(app), IClassFixture<SqliteHttp>;

public sealed class ConditionalOnPostgresTests(PostgresHttp app) : ConditionalTests(app), IClassFixture<PostgresHttp>;

/// <summary>RFC 9110 section 13 and RFC 6585 section 3 on a row with a version.</summary>
public abstract class ConditionalTests
{
    private readonly HttpFixture app;

    protected ConditionalTests(HttpFixture app)
    {
        this.app = app;
        app.SkipWhenMissing();
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Making_answers_with_place_and_tag()
    {
        var made = await app.Officer.Ask(HttpMethod.Post, "/v1/samples", """{ "name": "Ada", "unit": "mi" }""");

        Assert.Equal(HttpStatusCode.Created, made.StatusCode);
        var read = await app.Officer.GetAsync(made.Headers.Location, Stop);
        Assert.Equal(made.Headers.ETag, read.Headers.ETag);
        Assert.False(made.Headers.ETag!.IsWeak);
        Assert.Equal((await made.Json()).ToString(), (await read.Json()).ToString());
        Assert.Equal("no-cache, private", read.Headers.CacheControl?.ToString());
        Assert.Equal(["Accept", "Authorization"], read.Headers.Vary);
    }

    [Fact]
    public async Task An_unchanged_row_is_not_sent_again()
    {
        var (path, tag) = await GivenSample();

        foreach (var list in new[] { tag, $"W/{tag}", $"\"other\", {tag}", "*" })
        {
            var response = await app.Officer.Ask(HttpMethod.Get, path, ifNoneMatch: list);

            Assert.Equal(HttpStatusCode.NotModified, response.StatusCode);
            Assert.Equal(tag, response.Headers.ETag?.ToString());
            Assert.Equal("no-cache, private", response.Headers.CacheControl?.ToString());
            Assert.Empty(await response.Content.ReadAsByteArrayAsync(Stop));
        }

        Assert.Equal(
            HttpStatusCode.OK, (await app.Officer.Ask(HttpMethod.Get, path, ifNoneMatch: "\"other\"")).StatusCode);
    }

    [Fact]
    public async Task A_read_of_another_version_fails_its_condition()
    {
        var (path, tag) = await GivenSample();

        await (await app.Officer.Ask(HttpMethod.Get, path, ifMatch: "\"other\"")).Problem(412, "precondition-failed");
        await (await app.Officer.Ask(HttpMethod.Get, path, ifMatch: tag, ifNoneMatch: "broken"))
            .Problem(400, "invalid-parameter");
        Assert.Equal(HttpStatusCode.OK, (await app.Officer.Ask(HttpMethod.Get, path, ifMatch: tag)).StatusCode);
    }

    [Fact]
    public async Task Head_is_get_without_its_body()
    {
        var (path, tag) = await GivenSample();

        var response = await app.Officer.SendAsync(new(HttpMethod.Head, path), Stop);

        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        Assert.Equal(tag, response.Headers.ETag?.ToString());
        Assert.True(response.Content.Headers.ContentLength > 0);
        Assert.Empty(await response.Content.ReadAsByteArrayAsync(Stop));
    }

    [Fact]
    public async Task A_change_needs_if_match()
    {
        var (path, _) = await GivenSample();

        var problem = await (await app.Officer.Ask(HttpMethod.Patch, path, "{}")).Problem(428, "precondition-required");
        Assert.Contains("If-Match", problem.GetProperty("detail").GetString());
        await (await app.Officer.Ask(HttpMethod.Delete, path)).Problem(428, "precondition-required");
    }

    [Fact]
    public async Task A_change_of_another_version_is_refused_before_its_body_is_judged()
    {
        var (path, tag) = await GivenSample();

        await (await app.Officer.Ask(HttpMethod.Patch, path, """{ "name": 7 }""", "\"other\"")).Problem(412, "precondition-failed");
        await (await app.Officer.Ask(HttpMethod.Patch, path, "{}", $"W/{tag}")).Problem(412, "precondition-failed");
        await (await app.Officer.Ask(HttpMethod.Patch, path, "{}", tag, tag)).Problem(412, "precondition-failed");
        await (await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: "\"other\""))
            .Problem(412, "precondition-failed");
        await (await app.Officer.Ask(HttpMethod.Patch, path, "{}", "other")).Problem(400, "invalid-parameter");
    }

    [Fact]
    public async Task A_record_that_is_not_there_is_told_first() =>
        await (await app.Officer.Ask(HttpMethod.Patch, $"/v1/samples/{Guid.CreateVersion7()}", """{ "name": 7 }""", "\"x\""))
            .Problem(404, "not-found");

    [Fact]
    public async Task A_change_gives_a_new_tag_and_keeps_the_rest()
    {
        var (path, tag) = await GivenSample("""{ "name": "Ada", "unit": "mi", "reference": "cond-1" }""");

        var changed = await app.Officer.Ask(HttpMethod.Patch, path, """{ "name": "Ada B." }""", tag);

        Assert.Equal(HttpStatusCode.OK, changed.StatusCode);
        Assert.NotEqual(tag, changed.Headers.ETag?.ToString());
        var body = await changed.Json();
        Assert.Equal(("Ada B.", "cond-1", "mi"), (
            body.GetProperty("name")
                .GetString(), body.GetProperty("reference")
                .GetString(), body.GetProperty("unit")
                .GetString()));
        await (await app.Officer.Ask(HttpMethod.Patch, path, """{ "name": "Late" }""", tag)).Problem(412, "precondition-failed");
    }

    [Fact]
    public async Task Null_takes_an_optional_member_away()
    {
        var (path, tag) = await GivenSample("""{ "name": "Ada", "unit": "mi", "reference": "cond-2" }""");

        var changed = await app.Officer.Ask(HttpMethod.Patch, path, """{ "reference": null }""", tag);

        Assert.Equal(System.Text.Json.JsonValueKind.Null, (await changed.Json()).GetProperty("reference").ValueKind);
    }

    [Fact]
    public async Task An_empty_change_changes_nothing()
    {
        var (path, tag) = await GivenSample();

        var changed = await app.Officer.Ask(HttpMethod.Patch, path, "{}", tag);

        Assert.Equal((HttpStatusCode.OK, tag), (changed.StatusCode, changed.Headers.ETag?.ToString()));
    }

    /// <summary>RFC 5789 section 2.2: a patch that can be read but would leave an invalid record is 422.</summary>
    [Theory]
    [InlineData("""{ "colour": "red" }""", "#/colour", "unknown-member")]
    [InlineData("""{ "id": "00000000-0000-0000-0000-000000000000" }""", "#/id", "unknown-member")]
    [InlineData("""{ "name": null }""", "#/name", "missing-member")]
    [InlineData("""{ "name": 7 }""", "#/name", "wrong-type")]
    [InlineData("""{ "name": "two\nlines" }""", "#/name", "not-one-line")]
    [InlineData("""{ "pausedUntil": "1999-12-31" }""", "#/pausedUntil", "too-early")]
    [InlineData("""[]""", "#", "wrong-type")]
    public async Task A_change_into_something_invalid_is_refused(string patch, string at, string code)
    {
        var (path, tag) = await GivenSample();

        var problem = await (await app.Officer.Ask(HttpMethod.Patch, path, patch, tag)).Problem(422, "validation");

        Assert.Equal([(at, code)], problem.Errors());
        Assert.Equal(tag, (await app.Officer.GetAsync(path, Stop)).Headers.ETag?.ToString());
    }

    [Theory]
    [InlineData("{")]
    [InlineData("""{ "name": "a", "name": "b" }""")]
    public async Task A_patch_that_cannot_be_read_is_refused(string patch)
    {
        var (path, tag) = await GivenSample();

        await (await app.Officer.Ask(HttpMethod.Patch, path, patch, tag)).Problem(400, "malformed-body");
    }

    [Fact]
    public async Task A_star_changes_whatever_is_there()
    {
        var (path, _) = await GivenSample();

        Assert.Equal(HttpStatusCode.OK, (await app.Officer.Ask(HttpMethod.Patch, path, """{ "name": "Any" }""", "*")).StatusCode);
        Assert.Equal(
            HttpStatusCode.NoContent, (await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: "*")).StatusCode);
        await (await app.Officer.Ask(HttpMethod.Delete, path, ifMatch: "*")).Problem(404, "not-found");
    }

    [Fact]
    public async Task Of_twenty_changes_at_once_one_wins()
    {
        var (path, tag) = await GivenSample();

        var answers = await Task.WhenAll(Enumerable.Range(0, 20).Select(i =>
            app.Officer.Ask(HttpMethod.Patch, path, $$"""{ "name": "Racer {{i}}" }""", tag)));

        Assert.Single(answers, answer => answer.StatusCode == HttpStatusCode.OK);
        foreach (var loser in answers.Where(answer => answer.StatusCode != HttpStatusCode.OK))
        {
            await loser.Problem(412, "precondition-failed");
        }

        var id = Guid.Parse(path[^36..]);
        await app.InDatabase(async db =>
            Assert.Equal(2, (await db.Members.SingleAsync(member => member.Id == id, Stop)).Version));
    }

    [Fact]
    public async Task A_second_row_of_the_same_reference_is_a_conflict()
    {
        await GivenSample("""{ "name": "One", "unit": "km", "reference": "twin" }""");

        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/samples", """{ "name": "Two", "unit": "km", "reference": "twin" }""");

        await response.Problem(409, "conflict");
    }

    [Fact]
    public async Task A_computed_answer_has_the_tag_of_its_bytes()
    {
        var first = await app.Officer.GetAsync("/v1/echo/computed", Stop);

        var again = await app.Officer.Ask(
            HttpMethod.Get, "/v1/echo/computed", ifNoneMatch: first.Headers.ETag!.ToString());

        Assert.Equal(HttpStatusCode.NotModified, again.StatusCode);
    }

    private async Task<(string Path, string Tag)> GivenSample(string body = """{ "name": "Ada", "unit": "mi" }""")
    {
        var made = await app.Officer.Ask(HttpMethod.Post, "/v1/samples", body);
        return (made.Headers.Location!.AbsolutePath, made.Headers.ETag!.ToString());
    }
}
