using System.Net;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Marks;

/// <summary>The printable page of conventions at <c>/v1/mark-conventions</c>.</summary>
public sealed partial class ConventionPageTests
{
    private static readonly object Own = new
    {
        key = "north-works",
        name = "North <script>works</script>",
        sourceNote = "Told by a retired foreman.",
        years = "1960-01-01/1999-12-31",
        pattern = @"N(?<week>\d\d)/(?<year>\d\d)",
        examples = new[] { new { mark = "N10/90", means = new[] { "1990-03-05/1990-03-11" } } },
    };

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task It_shows_every_convention_and_those_of_the_keys_club(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        await app.PostOk("/v1/mark-conventions", Own);

        var page = await Page(app.Officer);

        Assert.All(MarkConventions.All, convention => Assert.Contains($"id=\"{convention.Key}\"", page));
        Assert.All(
            MarkConventions.All,
            convention => Assert.Contains(
                WebUtility.HtmlEncode(convention.Source), page.Replace("&#x27;", "&#39;", StringComparison.Ordinal)));
        Assert.Contains("id=\"north-works\"", page);
        Assert.Contains("North &lt;script&gt;works&lt;/script&gt;", page);
        Assert.DoesNotContain("<script", page);
        Assert.DoesNotContain("style=", page);
        Assert.DoesNotContain("north-works", await Page(await app.GivenForeigner()));
    }

    /// <summary>49 CFR 574.5(b)(3): 0109 is 4 to 10 January 2009. Three figures leave the decade open, and the oldest
    /// counts.</summary>
    [Fact]
    public async Task Examples_are_read_by_the_program()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var page = Words(await Page(app.Officer));

        Assert.Contains("0109 means 2009-01-04 to 2009-01-10", page);
        Assert.Contains("409 means 1979-10-07 to 1979-10-13, which counts", page);
        Assert.Contains("Not valid after 2020 means 2020-01-01 to 2020-12-31", page);
    }

    [Fact]
    public async Task Every_drawing_has_a_name_a_description_and_the_width_of_a_phone()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        await app.PostOk("/v1/mark-conventions", Own);

        var drawings = Drawing().Matches(await Page(app.Officer)).Select(match => XElement.Parse(match.Value)).ToList();

        Assert.True(drawings.Count > MarkConventions.All.Count);
        Assert.All(drawings, drawing =>
        {
            var ids = drawing.Attribute("aria-labelledby")!.Value.Split(' ');
            Assert.Equal<string>(
                ids,
                [drawing.Element("title")!.Attribute("id")!.Value, drawing.Element("desc")!.Attribute("id")!.Value]);
            Assert.NotEmpty(drawing.Element("title")!.Value);
            Assert.NotEmpty(drawing.Element("desc")!.Value);
            Assert.True((int)drawing.Attribute("width")! <= 288);
            Assert.DoesNotContain(drawing.Descendants().Attributes(), attribute =>
                attribute.Name == "style" || attribute.Value.Contains('#'));
        });
        Assert.Distinct(drawings.Select(drawing => drawing.Attribute("aria-labelledby")!.Value));
    }

    [Fact]
    public async Task Json_takes_the_first_example_apart()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        await app.PostOk("/v1/mark-conventions", Own);

        var parts = (await app.Read("/v1/mark-conventions/north-works")).GetProperty("parts").EnumerateArray()
            .Select(part => (part.GetProperty("text").GetString(), part.GetProperty("means").GetString()));

        Assert.Equal([("N", null), ("10", "week"), ("/", null), ("90", "year")], parts);
    }

    private static async Task<string> Page(HttpClient officer)
    {
        var response = await officer.GetAsync("/v1/mark-conventions?format=html", Stop);
        Assert.Equal("text/html", response.Content.Headers.ContentType?.MediaType);
        return await response.Content.ReadAsStringAsync(Stop);
    }

    private static string Words(string page) =>
        Space().Replace(WebUtility.HtmlDecode(Markup().Replace(page, "")), " ");

    [GeneratedRegex("<svg.*?</svg>", RegexOptions.Singleline)]
    private static partial Regex Drawing();

    [GeneratedRegex("<[^>]+>")]
    private static partial Regex Markup();

    [GeneratedRegex(@"\s+")]
    private static partial Regex Space();
}
