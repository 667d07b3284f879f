using System.Text.Json.Nodes;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Calculations;

/// <summary>The published cases of mark-vectors.json (each names its source) through the API as a script would
/// ask.</summary>
public sealed class MarkVectorsOverHttpTests
{
    private static readonly string[] NotMarks = [
        "vin-check-digit", "vin-model-year", "odometer-rollover", "unit-mi-km"];

    private static readonly string[] NotSent = ["boundsReason", "light", "lastKnownTotal", "maxPlausibleTotal", "unit"];

    /// <summary>Week 27 of 2047 is not read off a tyre in November 2026, though nobody said when it was seen.</summary>
    [Fact]
    public async Task A_mark_of_the_future_is_not_believed_without_the_day_it_was_seen()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var response = await app.Officer.Ask(
            HttpMethod.Post, "/v1/calculations/mark-readings", """{ "mark": "2747", "convention": "tin-wwyy", "notBefore": "1971-05-22" }""");

        var reply = await response.Json();
        Assert.Equal("none", reply.GetProperty("outcome").GetString());
        Assert.Contains("not-yet-made", reply.GetProperty("dropped")
            .EnumerateArray()
            .Select(d => d.GetProperty("code").GetString()));
    }

    [Fact]
    public async Task Every_published_mark_reads_over_HTTP_as_its_case_says()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var cases = Vectors().Where(v => !NotMarks.Contains(v["convention"]!.GetValue<string>())).ToList();
        var body = new JsonObject { ["marks"] = new JsonArray([.. cases.Select(Request)]) };

        var response = await app.Officer.Ask(
            HttpMethod.Post, "/v1/calculations/mark-readings/batch", body.ToJsonString());

        Assert.Equal(200, (int)response.StatusCode);
        var items = (await response.Json()).GetProperty("items").EnumerateArray().ToList();
        Assert.Equal(cases.Count, items.Count);
        foreach (var (vector, item) in cases.Zip(items))
        {
            var expected = vector["expected"]!;
            var id = vector["id"]!.GetValue<string>();
            var spans = item.GetProperty("readings").EnumerateArray()
                .Select(r =>
                    $"{r.GetProperty("earliest").GetString()}..{r.GetProperty("latest").GetString()}").ToList();
            IEnumerable<string> wanted = expected["kind"]!.GetValue<string>() switch
            {
                "interval" => [Span(expected)],
                "candidates" => expected["readings"]!.AsArray().Select(r => Span(r!)).Distinct().Order(),
                _ => [],
            };
            Assert.True(
                wanted.SequenceEqual(spans.Order()),
                $"{id}: wanted {string.Join(", ", wanted)}, got {string.Join(", ", spans)}");
        }
    }

    /// <summary>49 CFR 565.15 worked example and the other published VINs of the file.</summary>
    [Fact]
    public async Task Every_published_VIN_is_judged_as_its_case_says()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        foreach (var vector in Vectors()
            .Where(v => v["convention"]!.GetValue<string>() == "vin-check-digit"
                && v["expected"]!["kind"]!.GetValue<string>() == "vin"))
        {
            var request = new JsonObject
            {
                ["vin"] = vector["input"]!.DeepClone(),
                ["country"] = vector["context"]!["country"]!.DeepClone()
            };
            var reply = await (await app.Officer.Ask(
                HttpMethod.Post, "/v1/calculations/vin", request.ToJsonString())).Json();
            Assert.Equal(
                vector["expected"]!["computedCheckDigit"]!.GetValue<string>(),
                reply.GetProperty("computedCheckDigit").GetString());
            Assert.Equal(
                vector["expected"]!["checkDigitMatches"]!.GetValue<bool>(),
                reply.GetProperty("checkDigitMatches").GetBoolean());
        }
    }

    /// <summary>By hand: day 325 of 1950 is 21 November; timing belts came about 1962 (from memory). 1970 lies more
    /// than ten years before a car of May 1987.</summary>
    [Fact]
    public async Task What_nobody_would_believe_is_remote_with_its_rule()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var reply = await (await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/mark-readings", """
            { "mark": "0325", "partKind": "timing-belt", "vehicleBuilt": "1987-05", "observed": "2026-06-30" }
            """)).Json();

        var rules = reply.GetProperty("remote").EnumerateArray().ToDictionary(
            far => far.GetProperty("reading").GetProperty("earliest").GetString()!,
            far => far.GetProperty("bound"));
        Assert.Equal(["1950-11-21", "1960-11-20", "1970-11-21"], rules.Keys);
        Assert.Equal("first-of-kind", rules["1950-11-21"].GetProperty("rule").GetString());
        Assert.Equal("memory", rules["1950-11-21"].GetProperty("tag").GetString());
        Assert.Equal("built-car", rules["1970-11-21"].GetProperty("rule").GetString());
        Assert.Equal("1980-11-20", reply.GetProperty("governing").GetProperty("earliest").GetString());
    }

    [Theory]
    [InlineData("01/2014", "several", false)]
    [InlineData("Jan 2014", "one", false)]
    [InlineData("9915", "none", true)]
    [InlineData("ACME", "none", false)]
    public async Task A_plain_month_on_a_tyre_is_read_and_an_impossible_week_is_called_so(
        string mark, string outcome, bool isImpossible)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var reply = await (await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/mark-readings", $$"""
            { "mark": "{{mark}}", "partKind": "tyre-road", "observed": "2026-06-30" }
            """)).Json();

        Assert.Equal(outcome, reply.GetProperty("outcome").GetString());
        Assert.Equal(isImpossible, reply.GetProperty("impossible").GetBoolean());
        Assert.Equal(outcome != "none", reply.GetProperty("readings").EnumerateArray().Any(reading =>
            reading.GetProperty("canonical").GetString() == "month:2014-01"));
    }

    [Theory]
    [InlineData("""{"mark":"0109","convention":"no-such"}""", 422, "#/convention")]
    [InlineData("""{"mark":"0109","partKind":"no-such"}""", 422, "#/partKind")]
    [InlineData("""{"mark":109}""", 400, "#/mark")]
    [InlineData("""{"mark":"0109","colour":"red"}""", 400, "#/colour")]
    [InlineData("""{"convention":"tin-wwyy"}""", 400, "#/mark")]
    public async Task A_malformed_request_is_a_problem_that_names_the_field(string body, int status, string at)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/mark-readings", body);
        Assert.Equal(status, (int)response.StatusCode);
        Assert.Equal(at, (await response.Json()).GetProperty("errors")[0].GetProperty("pointer").GetString());
    }

    [Fact]
    public async Task An_unreadable_mark_is_an_answer()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var reply = await (await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/mark-readings", """{"mark":"1X07","convention":"tin-wwyy"}""")).Json();
        Assert.Equal("none", reply.GetProperty("outcome").GetString());
        Assert.NotEqual("", reply.GetProperty("reason").GetString());
    }

    private static JsonObject Request(JsonObject vector)
    {
        var request = new JsonObject
        {
            ["mark"] = vector["input"]!.DeepClone(),
            ["convention"] = vector["convention"]!.DeepClone()
        };
        foreach (var (name, value) in vector["context"]!.AsObject().Where(member => !NotSent.Contains(member.Key)))
        {
            request[name] = value?.DeepClone();
        }

        return request;
    }

    private static string Span(JsonNode node) =>
        $"{node["earliest"]!.GetValue<string>()}..{node["latest"]!.GetValue<string>()}";

    private static IEnumerable<JsonObject> Vectors() =>
        JsonNode.Parse(File.ReadAllText(Path.Combine(
            AppContext.BaseDirectory, "Vectors",
            "mark-vectors.json")))!["vectors"]!.AsArray().Select(v => v!.AsObject());
}
