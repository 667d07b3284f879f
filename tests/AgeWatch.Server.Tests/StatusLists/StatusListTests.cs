using System.Text.Json;
using System.Xml.Linq;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using CsvHelper;

namespace AgeWatch.Server.Tests.StatusLists;

/// <summary>
/// 14 CFR 91.417(a)(2) asks for total time, the present status of life-limited parts, time since the last overhaul and
/// the inspection status. A belt fitted at 51,000 km on 2025-11-25 with a maker's 60,000 km and 60 months stands at
/// 53,000 km.
/// </summary>
public sealed class StatusListTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>By hand: 53,000 - 51,000 = 2,000 km run, 58,000 left; 60 months end on 2030-11-25, 4 x 365 + 1 = 1,461
    /// days from 2026-11-25.</summary>
    [Theory, OnBothDatabases]
    public async Task It_says_what_is_left_by_each_clock_and_where_each_number_is_from(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (car, belt) = await GivenCarAsync(app);

        var list = await app.Read($"/v1/vehicles/{car}/status-list");

        Assert.Equal(
            ("2026-11-25", "2026-10-01", "53000"),
            (list.Text("asOf"), list.Text("odometer", "on"), list.Text("odometer", "value")));
        var part = list.Items().Single(item => item.Id() == belt);
        Assert.Equal(("2025-11-25", "2000", "2000", "km"),
            (
                part.Text("fittedOn"), part.Text("distance", "least"), part.Text("distance", "most"),
                part.Text("distance", "unit")));
        Assert.Equal(("2026-05-01", "watch", "A. Keeper"),
            (part.Text("lastInspected", "on"), part.Text("lastInspected", "grade"), part.Text("lastInspected", "by")));
        var months = Line(part, "months");
        Assert.Equal(("60", "Handbook, page 40", "1461"),
            (months.Text("limit", "number"), months.Text("limit", "reference"), months.Text("daysLeft", "earliest")));
        var distance = Line(part, "km");
        Assert.Equal(("58000", "58000", "2026-10-01"),
            (
                distance.Text("amountLeft", "least"), distance.Text("amountLeft", "most"),
                distance.Text("amountLeft", "countedOn")));
        Assert.Single(part.GetProperty("limits").EnumerateArray(), l => l.GetProperty("governs").GetBoolean());
        Assert.Contains(list.GetProperty("notRecorded").EnumerateArray(), n =>
            n.Text("partKind") == "brake-hose-flexible");

        // A task and its day, and another day from the same facts: 365 days later 1,461 have become 1,096.
        var oil = list.Items().Single(item => item.Text("partKind") == "engine-oil");
        Assert.Equal(("2026-04-01", "52000"), (oil.Text("lastDone", "on"), oil.Text("lastDone", "odometer", "value")));
        Assert.Equal("7", oil.Text("ageMonths", "most"));
        var later = await app.Read($"/v1/vehicles/{car}/status-list?asOf=2027-11-25");
        Assert.Equal("1096", Line(later.Items().Single(item => item.Id() == belt), "months")
            .Text("daysLeft", "earliest"));
    }

    [Theory, OnBothDatabases]
    public async Task It_is_a_table_that_no_spreadsheet_runs(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (car, belt) = await GivenCarAsync(app);

        var response = await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/status-list?format=csv");

        Assert.Equal("text/csv", response.Content.Headers.ContentType!.MediaType);
        Assert.Equal("attachment", response.Content.Headers.ContentDisposition!.DispositionType);
        var rows = await RowsAsync(response);
        var list = await app.Read($"/v1/vehicles/{car}/status-list");
        Assert.Equal(
            list.Items().Sum(item => Math.Max(1, item.GetProperty("limits").GetArrayLength()))
                + list.GetProperty("notRecorded").GetArrayLength(),
            rows.Count);
        var distance = rows.Single(row =>
            row["id"] == belt.ToString() && row["limit_tag"] == "maker" && row["limit_unit"] == "km");
        Assert.Equal(("'=HYPERLINK(\"x\")", "60000", "58000", "watch"),
            (distance["position"], distance["limit_number"], distance["left_least"], distance["last_grade"]));
        Assert.Equal(("no", "unknown"), rows.Where(row => row["part_kind"] == "brake-hose-flexible")
            .Select(row => (row["recorded"], row["state"]))
            .Single());

        var raw = await RowsAsync(await app.Officer.Ask(
            HttpMethod.Get, $"/v1/vehicles/{car}/status-list?format=csv&raw=true"));
        Assert.Contains(raw, row => row["position"] == "=HYPERLINK(\"x\")");
        Assert.Equal(
            304,
            (int)(await app.Officer.Ask(
                HttpMethod.Get, $"/v1/vehicles/{car}/status-list?format=csv",
                ifNoneMatch: response.Headers.ETag!.ToString())).StatusCode);
    }

    [Theory, OnBothDatabases]
    public async Task It_is_a_page_with_a_line_of_life(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (car, _) = await GivenCarAsync(app);
        await app.PostOk(
            $"/v1/vehicles/{car}/components",
            new { partKind = "brake-hose-flexible", position = "<script>alert(1)</script>" });

        var response = await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/status-list?format=html");

        Assert.Equal("text/html", response.Content.Headers.ContentType!.MediaType);
        var page = await response.Content.ReadAsStringAsync(Stop);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("style=", page, StringComparison.Ordinal);
        Assert.Contains("Handbook, page 40", page, StringComparison.Ordinal);
        var pictures = Pictures(page).Where(picture => picture.Attribute("role") is not null).ToList();
        Assert.Equal(3, pictures.Count);
        Assert.All(pictures, picture =>
        {
            Assert.Equal("img", (string?)picture.Attribute("role"));
            Assert.NotEmpty(picture.Element("title")!.Value);
            Assert.Contains("today 2026-11-25", picture.Element("desc")!.Value, StringComparison.Ordinal);
        });
        var ids = Pictures(page)
            .SelectMany(picture => picture.Descendants().Attributes("id"))
            .Select(id => id.Value)
            .ToList();
        Assert.Equal(ids.Distinct(), ids);
    }

    /// <summary>
    /// A letter of the picture's 10.5 units is at most 9 wide in bold (0.8 of it, as capitals are), so letters 10 apart
    /// can be told. And no colour is named: what is black on paper is light on a dark screen, where a "white" bar would
    /// be one past its limit.
    /// </summary>
    [Fact]
    public async Task Letters_on_one_day_stand_side_by_side_and_no_colour_is_named()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync("2020-01-01", "km");
        var hose = (await app.PostOk(
            $"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", original = true })).Id();
        foreach (var level in new[] { "inspect-from", "replace-by", "stop-use" })
        {
            await app.PostOk(
                $"/v1/components/{hose}/limits",
                new { level, tag = "maker", reference = "Page 4", from = "manufacture", months = 120 });
        }

        var page = await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/status-list?format=html"))
            .Content.ReadAsStringAsync(Stop);

        var letters = Pictures(page).Single(picture => picture.Attribute("role") is not null).Elements("text")
            .Where(text => text.Value is "I" or "R" or "S").Select(text => (int)text.Attribute("x")!).ToList();
        Assert.Equal(3, letters.Count);
        Assert.All(letters.Zip(letters.Skip(1)), pair => Assert.True(pair.Second - pair.First >= 10, $"{pair}"));
        Assert.InRange(letters[^1], 0, 312);
        Assert.DoesNotMatch(
            "(?i)>[^<]*\\b(white|black|grey|gray)\\b", page[page.IndexOf("<main>", StringComparison.Ordinal)..]);
        Assert.Contains("url(#made0)", page, StringComparison.Ordinal);
    }

    /// <summary>
    /// By hand: of the 6,172 days from 2010-01-01 to 2026-11-25, drawn from 8 to 312, the look after 60 months is 1,826
    /// days in, at
    /// 8 + 1826·304/6172 = 98, the replacement after 72 months 2,191 days in, at 116. From there on nothing is in life,
    /// though the limit that governs, stop use after 120 months, comes later.
    /// </summary>
    [Fact]
    public async Task Past_the_first_limit_nothing_is_drawn_as_in_life()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync("2010-01-01", "km");
        var hose = (await app.PostOk(
            $"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", original = true })).Id();
        foreach (var (level, months) in new[] { ("inspect-from", 60), ("replace-by", 72), ("stop-use", 120) })
        {
            await app.PostOk(
                $"/v1/components/{hose}/limits",
                new { level, tag = "maker", reference = "Page 4", from = "manufacture", months });
        }

        var page = await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/status-list?format=html"))
            .Content.ReadAsStringAsync(Stop);

        var stretches = Pictures(page).Single(picture => picture.Attribute("role") is not null).Elements("rect")
            .Select(rect => ((int)rect.Attribute("x")!, (int)rect.Attribute("x")!
                + (int)rect.Attribute("width")!, (string)rect.Attribute("fill")!));
        Assert.Equal([(8, 11, "url(#made1)"), (98, 116, "url(#look1)"), (116, 312, "currentColor")], stretches);
    }

    [Fact]
    public async Task What_the_caller_would_rather_have_decides()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var (car, _) = await GivenCarAsync(app);

        Assert.Equal("application/json", await TypeAsync(app, car, "*/*"));
        Assert.Equal("text/csv", await TypeAsync(app, car, "text/csv"));
        Assert.Equal(
            "text/html", await TypeAsync(app, car, "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"));
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/status-list?format=pdf"))
            .Problem(400, "invalid-parameter");
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{Guid.CreateVersion7()}/status-list"))
            .Problem(404, "not-found");
        using var foreigner = await app.GivenForeigner();
        await (await foreigner.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/status-list")).Problem(404, "not-found");
    }

    private static async Task<string?> TypeAsync(TestApp app, Guid car, string accept)
    {
        using HttpRequestMessage request = new(
            HttpMethod.Get, $"/v1/vehicles/{car}/status-list")
        { Headers = { { "Accept", accept } } };
        return (await app.Officer.SendAsync(request, Stop)).Content.Headers.ContentType?.MediaType;
    }

    private static JsonElement Line(JsonElement part, string unit) => part.GetProperty("limits").EnumerateArray()
        .Single(line => line.Text("limit", "tag") == "maker" && line.Text("limit", "unit") == unit);

    private static async Task<List<Dictionary<string, string>>> RowsAsync(HttpResponseMessage response)
    {
        var text = await response.Content.ReadAsStringAsync(Stop);
        using var csv = CsvReader.FromText(text, CsvReaderOptions.Default);
        var names = text[..text.IndexOf("\r\n", StringComparison.Ordinal)].Split(',');
        List<Dictionary<string, string>> rows = [];
        while (csv.Read())
        {
            rows.Add(names.ToDictionary(name => name, name => csv.GetString(name)));
        }

        return rows;
    }

    private static IEnumerable<XElement> Pictures(string page) => page.Split("<svg").Skip(1)
        .Select(rest => XElement.Parse("<svg" + rest[..(rest.IndexOf("</svg>", StringComparison.Ordinal) + 6)]));

    private static async Task<(Guid Car, Guid Belt)> GivenCarAsync(TestApp app)
    {
        var car = await app.GivenVehicleAsync("1990", "km");
        await app.GivenReadingAsync(car, "2026-01-01", 51_500, "km");
        await app.GivenReadingAsync(car, "2026-10-01", 53_000, "km");
        var belt = (await app.PostOk($"/v1/vehicles/{car}/components", new
        {
            partKind = "timing-belt",
            position = "=HYPERLINK(\"x\")",
            evidence = new object[] { new { kind = "fitted", on = "2025-11-25",
            odometer = new { value = 51_000, unit = "km" } } },
        })).Id();
        await app.PostOk($"/v1/components/{belt}/limits", new
        {
            level = "replace-by",
            tag = "maker",
            from = "fitting",
            months = 60,
            distance = new { value = 60_000, unit = "km" },
            reference = "Handbook, page 40",
        });
        await app.PostOk(
            $"/v1/components/{belt}/findings", new { on = "2026-05-01", grade = "watch", foundBy = "A. Keeper" });
        await app.PostOk($"/v1/vehicles/{car}/service-tasks", new
        {
            partKind = "engine-oil",
            lastDone = new { on = "2026-04-01", odometer = new { value = 52_000, unit = "km" } },
        });
        return (car, belt);
    }
}
