using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Text;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Tests.Http;

/// <summary>One of each error, those of the framework too: RFC 9457 everywhere.</summary>
public sealed class ProblemTests(SqliteHttp app) : IClassFixture<SqliteHttp>
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task No_such_address() =>
        await (await app.Anonymous.GetAsync("/nowhere", Stop)).Problem(404, "not-found");

    [Fact]
    public async Task No_such_record() =>
        await (await app.Officer.GetAsync($"/v1/samples/{Guid.CreateVersion7()}", Stop)).Problem(404, "not-found");

    [Fact]
    public async Task An_id_that_is_none_is_no_such_record() =>
        await (await app.Officer.GetAsync("/v1/samples/17", Stop)).Problem(404, "not-found");

    [Fact]
    public async Task No_key()
    {
        var response = await app.Anonymous.GetAsync("/v1/samples", Stop);

        await response.Problem(401, "unauthenticated");
        Assert.Equal("Bearer", response.Headers.WwwAuthenticate.Single().Scheme);
    }

    [Fact]
    public async Task A_key_in_the_address_is_no_key() =>
        await (await app.Anonymous.GetAsync($"/v1/samples?api_key={app.Key}", Stop)).Problem(401, "unauthenticated");

    [Fact]
    public async Task A_route_that_states_no_right_is_closed() =>
        await (await app.Officer.GetAsync("/v1/no-right", Stop)).Problem(403, "forbidden");

    [Fact]
    public async Task The_wrong_method()
    {
        var response = await app.Officer.PutAsync("/v1/samples", "{}".Json(), Stop);

        await response.Problem(405, "method-not-allowed");
        Assert.Equal(["GET", "HEAD", "POST"], response.Content.Headers.Allow.Order());
    }

    [Fact]
    public async Task Options_lists_the_methods()
    {
        var response = await app.Anonymous.SendAsync(new(HttpMethod.Options, "/v1/samples"), Stop);

        Assert.Equal(204, (int)response.StatusCode);
        Assert.Equal(["GET", "HEAD", "POST"], response.Content.Headers.Allow.Order());
    }

    [Fact]
    public async Task Trace_is_off() =>
        await (await app.Officer.SendAsync(new(HttpMethod.Trace, "/v1/samples"), Stop))
            .Problem(405, "method-not-allowed");

    [Theory]
    [InlineData("text/csv", 406)]
    [InlineData("application/json;q=0, */*", 406)]
    [InlineData("text/html, application/json;q=0.1", 200)]
    [InlineData("application/*", 200)]
    [InlineData("*/*", 200)]
    public async Task Only_json_is_offered(string accept, int status)
    {
        HttpRequestMessage request = new(HttpMethod.Get, "/v1/samples");
        request.Headers.TryAddWithoutValidation("Accept", accept);

        var response = await app.Officer.SendAsync(request, Stop);

        if (status == 406)
        {
            var problem = await response.Problem(406, "not-acceptable");
            Assert.Equal("application/json", problem.GetProperty("available")[0].GetString());
        }
        else
        {
            Assert.Equal(status, (int)response.StatusCode);
        }
    }

    [Theory]
    [InlineData("text/plain")]
    [InlineData("application/xml")]
    [InlineData("application/json; charset=utf-16")]
    public async Task The_wrong_media_type(string type)
    {
        StringContent content = new("""{ "count": 1 }""");
        content.Headers.ContentType = MediaTypeHeaderValue.Parse(type);

        await (await app.Officer.PostAsync("/v1/echo", content, Stop)).Problem(415, "unsupported-media-type");
    }

    [Fact]
    public async Task A_body_without_media_type()
    {
        using ByteArrayContent content = new("""{ "count": 1 }"""u8.ToArray());

        await (await app.Officer.PostAsync("/v1/echo", content, Stop)).Problem(415, "unsupported-media-type");
    }

    [Fact]
    public async Task A_compressed_body()
    {
        var content = """{ "count": 1 }""".Json();
        content.Headers.ContentEncoding.Add("gzip");

        await (await app.Officer.PostAsync("/v1/echo", content, Stop)).Problem(415, "unsupported-media-type");
    }

    /// <summary>RFC 5789 section 3.1: a refused patch format is answered with those that are taken.</summary>
    [Fact]
    public async Task The_wrong_patch_format_names_the_right_one()
    {
        HttpRequestMessage request = new(
            HttpMethod.Patch, $"/v1/samples/{Guid.CreateVersion7()}")
        { Content = "{}".Json() };
        request.Headers.TryAddWithoutValidation("If-Match", "*");

        var response = await app.Officer.SendAsync(request, Stop);

        await response.Problem(415, "unsupported-media-type");
        Assert.Equal("application/merge-patch+json", response.Headers.GetValues("Accept-Patch").Single());
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_body_over_one_mebibyte(bool isChunked)
    {
        HttpRequestMessage request = new(HttpMethod.Post, "/v1/echo")
        {
            Content = $$"""{ "count": 1, "note": "{{new string('x', 1024 * 1024)}}" }""".Json(),
        };
        request.Headers.TransferEncodingChunked = isChunked;
        request.Headers.ExpectContinue = true;

        await (await app.Officer.SendAsync(request, Stop)).Problem(413, "too-large");
    }

    [Fact]
    public async Task A_long_address() =>
        await (await app.Officer.GetAsync("/v1/samples?x=" + new string('x', 9000), Stop))
            .Problem(414, "address-too-long");

    [Fact]
    public async Task Large_headers()
    {
        HttpRequestMessage request = new(HttpMethod.Get, "/v1/samples");
        request.Headers.Add("X-Large", new string('x', 40_000));

        await (await app.Officer.SendAsync(request, Stop)).Problem(431, "headers-too-large");
    }

    [Fact]
    public async Task A_fault_of_ours_tells_nothing_of_itself()
    {
        var response = await app.Officer.GetAsync("/v1/echo/fault", Stop);

        await response.Problem(500, "internal-error");
        var text = await response.Content.ReadAsStringAsync(Stop);
        Assert.DoesNotContain("inner words", text);
        Assert.DoesNotContain("Exception", text);
    }

    [Theory]
    [InlineData("/v1/samples?colour=red", "colour", "unknown-parameter")]
    [InlineData("/v1/samples?unit=miles", "unit", "unknown-value")]
    [InlineData("/v1/samples?unit=mi&unit=km", "unit", "doubled")]
    [InlineData("/v1/samples?rank=x", "rank", "wrong-type")]
    [InlineData("/v1/samples?rank=0", "rank", "out-of-range")]
    [InlineData("/v1/samples?asOf=2026-02-29", "asOf", "wrong-format")]
    [InlineData("/v1/samples?limit=-1", "limit", "wrong-format")]
    [InlineData("/v1/samples?limit=ten", "limit", "wrong-format")]
    [InlineData("/v1/samples?cursor=abc", "cursor", "not-valid")]
    [InlineData("/v1/echo/computed?x=1", "x", "unknown-parameter")]
    public async Task A_wrong_parameter_is_named(string address, string parameter, string code)
    {
        var problem = await (await app.Officer.GetAsync(address, Stop)).Problem(400, "invalid-parameter");

        Assert.Equal([(parameter, code)], problem.Errors());
    }

    [Fact]
    public async Task Wrong_parameters_are_told_together()
    {
        var problem = await (await app.Officer.GetAsync("/v1/samples?unit=x&limit=-1&zoom=1", Stop))
            .Problem(400, "invalid-parameter");

        Assert.Equal(["limit", "unit", "zoom"], problem.Errors().Select(error => error.Where).Order());
    }

    [Fact]
    public async Task Every_problem_type_has_a_page()
    {
        foreach (var type in Problems.All)
        {
            var response = await app.Anonymous.GetAsync($"/problems/{type.Name}", Stop);

            Assert.Equal("text/html", response.Content.Headers.ContentType?.MediaType);
            Assert.Contains(
                type.Status.ToString(System.Globalization.CultureInfo.InvariantCulture),
                await response.Content.ReadAsStringAsync(Stop));
        }
    }

    [Theory]
    [InlineData("my-id_1.2", true)]
    [InlineData("two words", false)]
    [InlineData("a\tb", false)]
    public async Task A_sound_request_id_goes_through(string id, bool isKept)
    {
        HttpRequestMessage request = new(HttpMethod.Get, "/nowhere");
        request.Headers.TryAddWithoutValidation("X-Request-Id", id);

        var problem = await (await app.Anonymous.SendAsync(request, Stop)).Problem(404, "not-found");

        Assert.Equal(isKept, problem.GetProperty("traceId").GetString() == id);
    }

    [Fact]
    public async Task Headers_give_nothing_away()
    {
        var response = await app.Anonymous.GetAsync("/health/live", Stop);

        Assert.Equal("nosniff", response.Headers.GetValues("X-Content-Type-Options").Single());
        Assert.Equal("no-store", response.Headers.CacheControl?.ToString());
        Assert.False(response.Headers.Contains("Server"));
        Assert.False(response.Headers.Contains("Access-Control-Allow-Origin"));
    }

    [Fact]
    public async Task A_forwarded_host_is_not_believed_from_strangers()
    {
        HttpRequestMessage request = new(HttpMethod.Get, "/nowhere");
        request.Headers.Add("X-Forwarded-Host", "evil.example");

        var problem = await (await app.Anonymous.SendAsync(request, Stop)).Problem(404, "not-found");

        Assert.DoesNotContain("evil", problem.GetProperty("type").GetString());
    }

    [Fact]
    public async Task A_caller_who_hangs_up_halfway_breaks_nothing()
    {
        using (TcpClient socket = new())
        {
            await socket.ConnectAsync(app.Anonymous.BaseAddress!.Host, app.Anonymous.BaseAddress.Port, Stop);
            await socket.GetStream().WriteAsync(Encoding.ASCII.GetBytes(
                $"POST /v1/echo HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {app.Key}\r\nContent-Type: "
                    + $"application/json\r\nContent-Length: 500\r\n\r\n{{"),
                Stop);
        }

        Assert.Equal(200, (int)(await app.Anonymous.GetAsync("/health/ready", Stop)).StatusCode);
    }
}
