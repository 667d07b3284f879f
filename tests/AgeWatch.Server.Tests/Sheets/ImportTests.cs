using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Sheets;

public sealed class ImportTests
{
    private const string Sheet =
        "\uFEFFRecord;Reference;Name;Vehicle;Unit;Built;Country;Digits;Part kind;Position;Mark;Seen on;Fitted "
            + "on;Fitted odometer;Read on;Odometer;Last done on\r\n"
        + "vehicle;V1;Old saloon;;mi;05/1987;gb;5;;;;;;;;;\r\n"
        + "component;C1;;V1;;;;;brake-hose-flexible;front left;10/1/96;2024-05-01;02.04.2019;61,200 mi;;;\r\n"
        + "component;C2;;V1;;;;;tyre-road;front left;\"DOT AB CD EFG 409\";;;;;;\r\n"
        + ";;;V1;;;;;;;;;;;2024-01-01;68 210;\r\n"
        + "task;T1;;V1;;;;;engine-oil;;;;;;;;2025-06-01\r\n";

    [Theory, OnBothDatabases]
    public async Task A_sheet_as_a_spreadsheet_writes_it_is_taken_once(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);

        var dry = await SendAsync(app, Sheet, "?dryRun=true");
        Assert.Equal((5, false), (dry.GetProperty("created").GetInt32(), dry.GetProperty("stored").GetBoolean()));
        Assert.Empty((await Get(app, "/v1/vehicles")).GetProperty("items").EnumerateArray());

        var first = await SendAsync(app, Sheet);
        Assert.Equal((5, true), (first.GetProperty("created").GetInt32(), first.GetProperty("stored").GetBoolean()));

        var again = await SendAsync(app, Sheet);
        Assert.Equal(
            (0, 0, 5),
            (again.GetProperty("created")
                .GetInt32(), again.GetProperty("changed")
                .GetInt32(), again.GetProperty("unchanged")
                .GetInt32()));

        var vehicle = (await Get(app, "/v1/vehicles?reference=V1")).GetProperty("items")[0];
        Assert.Equal("1987-05", vehicle.GetProperty("built").GetString());
        var due = await Get(app, $"/v1/vehicles/{vehicle.GetProperty("id").GetGuid()}/due");
        Assert.Equal(3, due.GetProperty("items").GetArrayLength());
        Assert.Equal("catastrophic", due.GetProperty("items")[0]
            .GetProperty("answer")
            .GetProperty("hazard")
            .GetString());
        var club = await Get(app, "/v1/due?state=stop-use,overdue");
        Assert.NotEmpty(club.GetProperty("items").EnumerateArray());
    }

    [Theory, OnBothDatabases]
    public async Task One_bad_cell_stores_nothing_and_says_where(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var sheet = Sheet.Replace("02.04.2019", "02/04/2019", StringComparison.Ordinal);

        var response = await PostAsync(app, sheet, "");

        Assert.Equal(422, (int)response.StatusCode);
        var row = (await response.Json()).GetProperty("rows")[0];
        Assert.Equal(3, row.GetProperty("line").GetInt32());
        Assert.Equal("fitted on", row.GetProperty("errors")[0].GetProperty("column").GetString());
        Assert.Empty((await Get(app, "/v1/vehicles")).GetProperty("items").EnumerateArray());
    }

    [Fact]
    public async Task An_unknown_column_is_named()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var response = await PostAsync(app, "record,reference,colour\nvehicle,V1,red\n", "");
        Assert.Equal(422, (int)response.StatusCode);
        Assert.Contains(
            "colour", await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken),
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("record,reference,name,email,mark\nmember,M1,Ann,ann@club.example,0109\n", "mark")]
    [InlineData("record,reference,name,unit,part kind\nvehicle,V1,Saloon,mi,tyre-road\n", "part kind")]
    [InlineData("record,reference,part kind,seen on\ncomponent,C1,tyre-road,2024-05-01\n", "mark")]
    [InlineData("record,reference,part kind,fitted odometer\ncomponent,C1,tyre-road,61200 mi\n", "fitted on")]
    [InlineData("record,reference,part kind,fitted hours\ncomponent,C1,tyre-road,1250\n", "fitted on")]
    public async Task A_cell_that_would_be_lost_is_refused(string sheet, string column)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var response = await PostAsync(app, sheet, "");
        Assert.Equal(422, (int)response.StatusCode);
        Assert.Equal(column, (await response.Json())
            .GetProperty("rows")[0]
            .GetProperty("errors")[0]
            .GetProperty("column")
            .GetString());
    }

    [Theory, OnBothDatabases]
    public async Task Running_hours_come_with_their_day(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        const string Sheet =
            "record,reference,name,vehicle,unit,part kind,fitted on,fitted hours,last done on,last done hours\n"
            + "vehicle,V1,Launch,,km,,,,,\n"
            + "component,C1,,V1,,radiator-hose,2026-05-01,1250.5,,\n"
            + "task,T1,,V1,,engine-oil,,,2026-06-01,1300\n";

        Assert.Equal(3, (await SendAsync(app, Sheet)).GetProperty("created").GetInt32());

        Assert.Equal("1250.5", (await Get(app, "/v1/components?reference=C1"))
            .GetProperty("items")[0]
            .GetProperty("fitting")
            .GetProperty("hours")
            .ToString());
        var car = (await Get(app, "/v1/vehicles")).GetProperty("items")[0].GetProperty("id").GetGuid();
        Assert.Equal("1300", (await Get(app, $"/v1/vehicles/{car}/service-tasks"))
            .GetProperty("items")[0]
            .GetProperty("lastDone")
            .GetProperty("hours")
            .ToString());
        Assert.Equal(3, (await SendAsync(app, Sheet)).GetProperty("unchanged").GetInt32());
        Assert.Equal(
            422,
            (int)(await PostAsync(app, Sheet.Replace("1250.5", "\"1,250\"", StringComparison.Ordinal), "")).StatusCode);
    }

    [Theory, OnBothDatabases]
    public async Task The_demo_club_is_taken_whole(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        using var reader = new StreamReader(typeof(Problems).Assembly.GetManifestResourceStream("demo-club.csv")!);
        var sheet = await reader.ReadToEndAsync(TestContext.Current.CancellationToken);
        var report = await SendAsync(app, sheet);
        Assert.Equal(0, report.GetProperty("refused").GetInt32());
        Assert.Equal(25, (await Get(app, "/v1/vehicles?limit=100")).GetProperty("items").GetArrayLength());
    }

    private static async Task<JsonElement> SendAsync(TestApp app, string sheet, string query = "")
    {
        var response = await PostAsync(app, sheet, query);
        Assert.True(response.IsSuccessStatusCode, await response.Content.ReadAsStringAsync());
        return await response.Json();
    }

    private static Task<HttpResponseMessage> PostAsync(TestApp app, string sheet, string query) =>
        app.Officer.PostAsync(
            $"/v1/imports{query}",
            new ByteArrayContent(
                Encoding.UTF8.GetBytes(sheet))
            { Headers = { ContentType = new MediaTypeHeaderValue("text/csv") } },
            TestContext.Current.CancellationToken);

    private static async Task<JsonElement> Get(TestApp app, string path) =>
        await (await app.Officer.GetAsync(path, TestContext.Current.CancellationToken)).Json();
}
