using System.Text;

namespace AgeWatch.Server.Tests.Http;

/// <summary>
/// Strict bodies. The forms are RFC 8259 (JSON), RFC 3339 section 5.6 (instants), RFC 6901 (pointers); that each
/// must be refused with the member named is this project's own rule.
/// </summary>
public sealed class StrictJsonTests(SqliteHttp app) : IClassFixture<SqliteHttp>
{
    [Theory]
    [InlineData("""{ "count": 1, "colour": 2 }""", "#/colour", "unknown-member")]
    [InlineData("""{ "count": 1, "Count": 1 }""", "#/Count", "unknown-member")]
    [InlineData("""{ }""", "#/count", "missing-member")]
    [InlineData("""{ "count": null }""", "#/count", "null-not-allowed")]
    [InlineData("""{ "count": "1" }""", "#/count", "wrong-type")]
    [InlineData("""{ "count": 1.5 }""", "#/count", "wrong-format")]
    [InlineData("""{ "count": 1e400 }""", "#/count", "wrong-format")]
    [InlineData("""{ "count": 99999999999 }""", "#/count", "wrong-format")]
    [InlineData("""{ "count": 1, "count": 1 }""", "#/count", "duplicate-member")]
    [InlineData("""{ "count": 1, "ratio": 1e400 }""", "#/ratio", "wrong-format")]
    [InlineData("""{ "count": 1, "flag": "true" }""", "#/flag", "wrong-type")]
    [InlineData("""{ "count": 1, "flag": 1 }""", "#/flag", "wrong-type")]
    [InlineData("""{ "count": 1, "on": "2026-02-29" }""", "#/on", "wrong-format")]
    [InlineData("""{ "count": 1, "on": "2026-2-9" }""", "#/on", "wrong-format")]
    [InlineData("""{ "count": 1, "on": "2026-02-28T00:00:00Z" }""", "#/on", "wrong-format")]
    [InlineData("""{ "count": 1, "at": "2026-01-01T00:00:00" }""", "#/at", "wrong-format")]
    [InlineData("""{ "count": 1, "at": "2026-13-01T00:00:00Z" }""", "#/at", "wrong-format")]
    [InlineData("""{ "count": 1, "built": "1987-13" }""", "#/built", "wrong-format")]
    [InlineData("""{ "count": 1, "built": 1987 }""", "#/built", "wrong-type")]
    [InlineData("""{ "count": 1, "built": "about 1987" }""", "#/built", "wrong-format")]
    [InlineData("""{ "count": 1, "hazard": "Critical" }""", "#/hazard", "unknown-value")]
    [InlineData("""{ "count": 1, "hazard": 1 }""", "#/hazard", "wrong-type")]
    [InlineData("""{ "count": 1, "odometer": { "value": 5 } }""", "#/odometer/unit", "missing-member")]
    [InlineData("""{ "count": 1, "odometer": { "value": 5, "unit": "miles" } }""", "#/odometer/unit", "unknown-value")]
    [InlineData("""{ "count": 1, "odometer": 5 }""", "#/odometer", "wrong-type")]
    [InlineData("""{ "count": 1, "words": "one" }""", "#/words", "wrong-type")]
    [InlineData("""{ "count": 1, "words": ["one", null] }""", "#/words/1", "null-not-allowed")]
    [InlineData("""{ "count": 1, "inner": [{ "depth": 1 }, { "depth": 1, "a/b~c": 1 }] }""", "#/inner/1/a~1b~0c", "unknown-member")]
    [InlineData("""{ "count": 1, "note": "a\u0000b" }""", "#/note", "control-character")]
    [InlineData("""{ "count": 1, "note": "\ud800" }""", "#/note", "wrong-format")]
    [InlineData("""[1]""", "#", "wrong-type")]
    [InlineData("""null""", "#", "wrong-type")]
    public async Task A_member_of_the_wrong_form_is_named(string body, string at, string code)
    {
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/echo", body);

        var problem = await response.Problem(400, "malformed-body");
        Assert.Equal([(at, code)], problem.Errors());
    }

    [Fact]
    public async Task All_faults_are_told_at_once()
    {
        var response = await app.Officer.Ask(
            HttpMethod.Post, "/v1/echo", """{ "colour": 1, "on": "soon", "inner": [{ "depth": "x" }] }""");

        var problem = await response.Problem(400, "malformed-body");
        Assert.Equal(["#/colour", "#/count", "#/inner/0/depth", "#/on"], problem.Errors().Select(e => e.Where).Order());
    }

    [Fact]
    public async Task A_refused_name_is_answered_with_those_allowed()
    {
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/echo", """{ "count": 1, "hazard": "bad" }""");

        var problem = await response.Problem(400, "malformed-body");
        Assert.Contains("catastrophic, critical, marginal, negligible", problem.GetProperty("detail").GetString());
    }

    [Fact]
    public async Task A_value_out_of_bounds_is_read_but_not_carried_out()
    {
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/echo", """{ "count": 1, "inner": [{ "depth": 11 }] }""");

        var problem = await response.Problem(422, "validation");
        Assert.Equal([("#/inner/0/depth", "out-of-range")], problem.Errors());
    }

    [Theory]
    [InlineData("")]
    [InlineData("{")]
    [InlineData("""{ "count": 1 } x""")]
    [InlineData("""{ "count": 1 } {}""")]
    [InlineData("""{ "count": NaN }""")]
    [InlineData("""{ "count": 1, }""")]
    [InlineData("""{ /* why */ "count": 1 }""")]
    public async Task What_is_not_json_is_refused(string body) =>
        await (await app.Officer.Ask(HttpMethod.Post, "/v1/echo", body)).Problem(400, "malformed-body");

    [Fact]
    public async Task Nesting_without_end_is_refused() =>
        await (await app.Officer.Ask(HttpMethod.Post, "/v1/echo", new string('[', 10_000)))
            .Problem(400, "malformed-body");

    [Fact]
    public async Task Bytes_that_are_not_utf8_are_refused()
    {
        using ByteArrayContent content = new([.. "{\"count\":1,\"note\":\""u8, 0xC3, 0x28, .. "\"}"u8]);
        content.Headers.ContentType = new("application/json");

        var response = await app.Officer.PostAsync("/v1/echo", content, TestContext.Current.CancellationToken);

        await response.Problem(400, "malformed-body");
    }

    [Fact]
    public async Task Thousands_of_faults_do_not_earn_thousands_of_lines()
    {
        var body = "{" + string.Join(",", Enumerable.Range(0, 5000).Select(i => $"\"x{i}\":1")) + "}";

        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/echo", body);

        Assert.InRange((await response.Problem(400, "malformed-body")).Errors().Count(), 50, 60);
    }

    [Fact]
    public async Task A_byte_order_mark_is_no_fault()
    {
        using ByteArrayContent content = new([.. Encoding.UTF8.Preamble, .. "{\"count\":1}"u8]);
        content.Headers.ContentType = new("application/json");

        var response = await app.Officer.PostAsync("/v1/echo", content, TestContext.Current.CancellationToken);

        Assert.Equal(200, (int)response.StatusCode);
    }

    /// <summary>RFC 3339 section 5.8 examples (set time/rfc3339): all name an instant, a leap second among
    /// them.</summary>
    [Theory]
    [InlineData("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.52Z")]
    [InlineData("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z")]
    [InlineData("1990-12-31T23:59:60Z", "1991-01-01T00:00:00Z")]
    [InlineData("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.87Z")]
    public async Task Instants_come_back_in_utc(string sent, string expected)
    {
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/echo", $$"""{ "count": 1, "at": "{{sent}}" }""");

        Assert.Equal(expected, (await response.Json()).GetProperty("at").GetString());
    }

    [Theory]
    [InlineData("1987-05-03")]
    [InlineData("1987-05")]
    [InlineData("1987")]
    [InlineData("1987-03-01/1987-05-31")]
    public async Task A_built_date_comes_back_as_it_was_said(string built)
    {
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/echo", $$"""{ "count": 1, "built": "{{built}}" }""");

        Assert.Equal(built, (await response.Json()).GetProperty("built").GetString());
    }

    [Fact]
    public async Task Names_and_distances_come_back_as_sent()
    {
        var response = await app.Officer.Ask(
            HttpMethod.Post, "/v1/echo", """{ "count": 1, "hazard": "critical", "odometer": { "value": 48210.5, "unit": "mi" }, "note": "Größe 'S'" }""");

        var text = await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.Contains("\"hazard\":\"critical\"", text);
        Assert.Contains("\"odometer\":{\"value\":48210.5,\"unit\":\"mi\"}", text);
        Assert.Contains("Größe 'S'", text);
    }
}
