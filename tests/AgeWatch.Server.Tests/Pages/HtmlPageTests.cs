using System.Net;
using System.Security.Cryptography;
using System.Text;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Server.Tests.Http;

namespace AgeWatch.Server.Tests.Pages;

/// <summary>When a page is sent in place of JSON, and that nothing written in it can act.</summary>
public sealed class HtmlPageTests(SqliteHttp app) : IClassFixture<SqliteHttp>
{
    private const string Path = "/v1/echo/page";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>RFC 9110 section 12.5.1: the most specific range gives the quality; the third is what browsers
    /// send.</summary>
    [Theory]
    [InlineData(null, "application/json")]
    [InlineData("*/*", "application/json")]
    [InlineData("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", "text/html")]
    [InlineData("text/html", "text/html")]
    [InlineData("text/html, application/json", "application/json")]
    [InlineData("text/html;q=0.4, application/json;q=0.5", "application/json")]
    [InlineData("text/*, application/json;q=0.9", "text/html")]
    [InlineData("text/html;q=0, */*", "application/json")]
    public async Task Accept_chooses_and_json_is_the_default(string? accept, string mediaType)
    {
        var response = await Get(Path, accept);

        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        Assert.Equal(mediaType, response.Content.Headers.ContentType?.MediaType);
    }

    [Theory]
    [InlineData("?format=html", null, "text/html")]
    [InlineData("?format=html", "application/json", "text/html")]
    [InlineData("?format=json", "text/html", "application/json")]
    public async Task The_address_can_say_it_too(string query, string? accept, string mediaType) =>
        Assert.Equal(mediaType, (await Get(Path + query, accept)).Content.Headers.ContentType?.MediaType);

    [Theory]
    [InlineData("?format=pdf")]
    [InlineData("?format=")]
    [InlineData("?format=html&format=json")]
    public async Task Another_format_is_refused(string query)
    {
        var problem = await (await Get(Path + query, null)).Problem(400, "invalid-parameter");

        Assert.Equal([("format", "unknown-value")], problem.Errors());
    }

    [Fact]
    public async Task What_is_neither_is_not_acceptable()
    {
        var problem = await (await Get(Path, "image/png")).Problem(406, "not-acceptable");

        Assert.Equal(["application/json", "text/html"], problem.GetProperty("available")
            .EnumerateArray()
            .Select(type => type.GetString()));
    }

    [Fact]
    public async Task Words_are_never_markup()
    {
        var page = await (await Get(Path
            + "?format=html&words="
            + Uri.EscapeDataString("</title><script>alert('x')</script>&\""), null))
            .Content.ReadAsStringAsync(Stop);

        Assert.DoesNotContain("<script", page);
        Assert.Contains("<bdi>&lt;/title&gt;&lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt;&amp;&quot;</bdi>", page);
        Assert.Contains("<title>&lt;/title&gt;", page);
    }

    /// <summary>CSP level 3 section 8.3: the hash is over the text between the tags, so any other style, script or
    /// address is refused.</summary>
    [Fact]
    public async Task The_policy_allows_the_one_style_and_nothing_else()
    {
        var response = await Get(Path + "?format=html", null);

        var page = await response.Content.ReadAsStringAsync(Stop);
        var style = page[(page.IndexOf("<style>", StringComparison.Ordinal)
            + 7)..page.IndexOf("</style>", StringComparison.Ordinal)];
        var hash = Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(style)));
        Assert.Equal(
            $"default-src 'none'; style-src 'sha256-{hash}'; base-uri 'none'; form-action 'none'; frame-ancestors "
                + $"'none'",
            response.Headers.GetValues("Content-Security-Policy").Single());
        Assert.Equal("nosniff", response.Headers.GetValues("X-Content-Type-Options").Single());
        Assert.Equal("no-cache, private", response.Headers.CacheControl?.ToString());
        Assert.Contains("<html lang=\"en\">", page);
        Assert.Contains("@media print", style);
        Assert.Contains("prefers-color-scheme: dark", style);
    }

    [Fact]
    public void Holes_of_every_kind_are_written()
    {
        Assert.Equal(
            "&lt;b&gt; <time>2026-02-03</time> to <time>2026-02-04</time>, 12026-02-031",
            Html.Dated("<b> 2026-02-03 to 2026-02-04, 12026-02-031").ToString());
        List<Html> cells = [$"<td>{1.5}</td>", $"<td>{"<"}</td>"];
        Html row = $"<tr>{cells}{Html.Day(new(2026, 2, 3))}{(string?)null}{(Html?)null}</tr>";

        Assert.Equal("<tr><td>1.5</td><td>&lt;</td><time>2026-02-03</time></tr>", row.ToString());
    }

    [Fact]
    public async Task The_document_names_both_forms()
    {
        var document = await (await app.Anonymous.GetAsync("/openapi/v1.json", Stop)).Json();

        var read = document.GetProperty("paths").GetProperty(Path).GetProperty("get");
        Assert.Equal(
            ["application/json", "text/html"],
            read.GetProperty("responses")
                .GetProperty("200")
                .GetProperty("content")
                .EnumerateObject()
                .Select(content => content.Name)
                .Order());
        Assert.Contains("format", read.GetProperty("parameters")
            .EnumerateArray()
            .Select(parameter => parameter.GetProperty("name").GetString()));
    }

    private Task<HttpResponseMessage> Get(string path, string? accept)
    {
        HttpRequestMessage request = new(HttpMethod.Get, path);
        if (accept is not null)
        {
            request.Headers.TryAddWithoutValidation("Accept", accept);
        }

        return app.Officer.SendAsync(request, Stop);
    }
}
