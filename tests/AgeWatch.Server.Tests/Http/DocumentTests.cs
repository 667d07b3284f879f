using System.Text.Json;

namespace AgeWatch.Server.Tests.Http;

public sealed class DocumentTests(SqliteHttp app) : IClassFixture<SqliteHttp>
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task It_is_openapi_3_1_and_open_to_all()
    {
        var document = await Read();

        Assert.StartsWith("3.1.", document.GetProperty("openapi").GetString());
        Assert.Equal("http://127.0.0.1:5080", document.GetProperty("servers")[0].GetProperty("url").GetString());
        Assert.Equal("bearer", document.GetProperty("components")
            .GetProperty("securitySchemes")
            .GetProperty("key")
            .GetProperty("scheme")
            .GetString());
    }

    [Fact]
    public async Task Every_operation_has_a_name_a_line_a_tag_and_problems()
    {
        var operations = Operations(await Read()).ToList();

        Assert.NotEmpty(operations);
        Assert.Distinct(operations.Select(o => o.GetProperty("operationId").GetString()));
        Assert.All(operations, operation =>
        {
            Assert.NotEmpty(operation.GetProperty("summary").GetString()!);
            Assert.NotEmpty(operation.GetProperty("tags").EnumerateArray());
            var isOpen = operation.TryGetProperty("security", out var security) && security.GetArrayLength() == 0;
            foreach (var status in isOpen
                ? ["400", "406", "429", "500"]
                : new[] { "400", "401", "403", "406", "429", "500" })
            {
                Assert.Equal("#/components/schemas/Problem", operation.GetProperty("responses").GetProperty(status)
                    .GetProperty("content")
                        .GetProperty("application/problem+json")
                        .GetProperty("schema")
                        .GetProperty("$ref")
                        .GetString());
            }
        });
    }

    [Fact]
    public async Task Head_is_not_listed_twice() =>
        Assert.DoesNotContain((await Read()).GetProperty("paths").EnumerateObject(), path =>
            path.Value.TryGetProperty("head", out _));

    [Fact]
    public async Task What_the_code_asks_for_is_written_down()
    {
        var document = await Read();
        var schemas = document.GetProperty("components").GetProperty("schemas");
        var list = document.GetProperty("paths").GetProperty("/v1/samples").GetProperty("get");
        var patch = document.GetProperty("paths").GetProperty("/v1/samples/{id}").GetProperty("patch");

        Assert.Equal(["unit", "rank", "asOf", "limit", "cursor"],
            list.GetProperty("parameters")
                .EnumerateArray()
                .Select(parameter => parameter.GetProperty("name").GetString()));
        Assert.Contains("If-Match", patch.GetProperty("parameters")
            .EnumerateArray()
            .Select(parameter => parameter.GetProperty("name").GetString()));
        Assert.True(patch.GetProperty("responses").TryGetProperty("428", out _));
        Assert.False(patch.GetProperty("requestBody").GetProperty("content").GetProperty("application/merge-patch+json")
            .GetProperty("schema").TryGetProperty("required", out _));
        Assert.Equal(["name", "unit"], schemas.GetProperty("SampleRequest")
            .GetProperty("required")
            .EnumerateArray()
            .Select(name => name.GetString()));
        Assert.Equal(200, schemas.GetProperty("SampleRequest")
            .GetProperty("properties")
            .GetProperty("name")
            .GetProperty("maxLength")
            .GetInt32());
        Assert.Equal(0, schemas.GetProperty("OwnLimitRequest")
            .GetProperty("properties")
            .GetProperty("hours")
            .GetProperty("exclusiveMinimum")
            .GetInt32());
        Assert.Equal("string", schemas.GetProperty("DistanceUnit").GetProperty("type").GetString());
        Assert.False(schemas.GetProperty("SampleReply").GetProperty("additionalProperties").GetBoolean());
    }

    /// <summary>JSON Schema 2020-12 section 10.2.1.3: of oneOf exactly one may fit, so null must not fit a shared
    /// enumeration as well.</summary>
    [Fact]
    public async Task Null_is_said_once_of_an_optional_enumeration()
    {
        var schemas = (await Read()).GetProperty("components").GetProperty("schemas").EnumerateObject().ToList();

        var enumerations = schemas.Where(schema => schema.Value.TryGetProperty("enum", out _)).ToList();
        Assert.NotEmpty(enumerations);
        Assert.All(enumerations, schema =>
        {
            Assert.Equal("string", schema.Value.GetProperty("type").GetString());
            Assert.All(schema.Value.GetProperty("enum").EnumerateArray(), value =>
                Assert.Equal(JsonValueKind.String, value.ValueKind));
        });

        // Where it is used it may be null: beside the reference, or written out.
        var from = schemas.Single(schema => schema.Name == "OwnLimitReply")
            .Value.GetProperty("properties")
            .GetProperty("from")
            .GetProperty("oneOf");
        Assert.Equal("null", from[0].GetProperty("type").GetString());
        Assert.Equal("#/components/schemas/AgeAnchor", from[1].GetProperty("$ref").GetString());
        var role = schemas.Single(schema => schema.Name == "MarkRequest")
            .Value.GetProperty("properties")
            .GetProperty("role");
        Assert.Equal(["manufacture", "expiry", null], role.GetProperty("enum")
            .EnumerateArray()
            .Select(value => value.GetString()));
    }

    [Fact]
    public async Task Every_schema_is_used()
    {
        var document = await Read();
        var written = document.GetRawText();

        Assert.All(document.GetProperty("components").GetProperty("schemas").EnumerateObject(), schema =>
            Assert.Contains($"\"#/components/schemas/{schema.Name}\"", written));
    }

    private static IEnumerable<JsonElement> Operations(JsonElement document) =>
        document.GetProperty("paths").EnumerateObject()
        .SelectMany(path => path.Value.EnumerateObject()).Select(operation => operation.Value);

    private async Task<JsonElement> Read() => await (await app.Anonymous.GetAsync("/openapi/v1.json", Stop)).Json();
}
