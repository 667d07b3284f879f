using System.Globalization;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Sheets;

/// <summary>What is said of a row, and of very many.</summary>
public sealed class SheetRowTests
{
    private const string Heading =
        "record,reference,name,vehicle,unit,built,registered on,per year,part kind,position,mark,seen on,document on,"
        + "fitted on,fitted odometer,read on,odometer,last done on\n";

    [Theory]
    [InlineData(
        "component,C1,,NONE,,,,,no-such-kind,,3/94,soon,2030-01-01,2030-01-01,far,,,",
        "document on in-the-future", "fitted odometer wrong-format", "fitted on in-the-future",
        "part kind unknown-part-kind", "seen on wrong-format", "vehicle no-such-vehicle")]
    [InlineData("reading,,,NONE,,,,,,,,,,,,soon,far,",
        "odometer wrong-format", "read on wrong-format", "vehicle no-such-vehicle")]
    [InlineData("reading,,,V1,,,,,,,,,,,,,,", "odometer missing", "read on missing")]
    [InlineData("task,T1,,NONE,,,,,no-such-kind,,,,,,,,,2030-01-01",
        "last done on in-the-future", "part kind unknown-part-kind", "vehicle no-such-vehicle")]
    [InlineData("vehicle,,,,stone,2030,0001-01-01,far,,,,,,,,,,",
        "built in-the-future", "name missing", "per year wrong-format", "reference missing",
        "registered on too-early", "unit unknown-value")]
    public async Task All_that_is_wrong_with_a_row_is_said_at_once(string row, params string[] wrong)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var report = await app.TrySheetAsync($"{Heading}vehicle,V1,Saloon,,mi,,,,,,,,,,,,,\n{row}\n");

        Assert.Equal(
            wrong.Select(cell => $"3 {cell}"), report.Cells("errors").Order(StringComparer.Ordinal));
    }

    [Theory, OnBothDatabases]
    public async Task What_is_odd_but_possible_is_taken_with_a_warning(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        const string Sheet = Heading
            + "vehicle,V1,Saloon,,mi,1987-05,1986-01-01,200000,,,,,,,,,,\n"
            + "component,C1,,V1,,,,,radiator-hose,,QQQQQ,,1970-01-01,2019-04-02,98500 km,,,\n"
            + "reading,,,V1,,,,,,,,,,,,2024-01-01,61200,\n"
            + "reading,,,V1,,,,,,,,,,,,2025-01-01,60100,\n"
            + "reading,,,V1,,,,,,,,,,,,2026-01-01,62000,\n";

        var report = await app.TakeSheetAsync(Sheet);

        Assert.Equal(
            [
                "2 per year much", "2 registered on before-built", "3 document on odd-day",
                "3 fitted odometer other-unit", "3 mark no-reading", "5 odometer runs-backwards",
            ],
            report.Cells("warnings").Order(StringComparer.Ordinal));
        Assert.Equal(
            (5, 3, true),
            (report.GetProperty("created").GetInt32(), report.GetProperty("warned").GetInt32(),
                report.GetProperty("stored").GetBoolean()));
        Assert.Equal("C1", (await app.OnlyAsync("/v1/components")).GetProperty("reference").GetString());
    }

    [Theory]
    [InlineData("vehicle,V1,Estate,,mi,,,,,,,,,,,,,\n", "3 reference doubled-reference")]
    [InlineData(
        "component,C1,,V1,,,,,tyre-road,left,,,,,,,,\ncomponent,C1,,V1,,,,,tyre-road,right,,,,,,,,\n",
        "4 reference doubled-reference")]
    [InlineData(
        "task,T1,,V1,,,,,engine-oil,,,,,,,,,2025-01-01\ntask,T1,,V1,,,,,engine-oil,,,,,,,,,2026-01-01\n",
        "4 reference doubled-reference")]
    [InlineData(
        "component,,,V1,,,,,tyre-road,,,,,,,,,\ncomponent,,,V1,,,,,tyre-road,,,,,,,,,\n", "4  not-unique")]
    public async Task Two_rows_for_one_thing_are_refused(string rows, string wrong)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var report = await app.TrySheetAsync($"{Heading}vehicle,V1,Saloon,,mi,,,,,,,,,,,,,\n{rows}");

        Assert.Equal([wrong], report.Cells("errors"));
    }

    [Theory, OnBothDatabases]
    public async Task Of_twenty_thousand_rows_some_are_shown_and_the_rest_counted(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var sheet = "record,reference,name,unit\n" + string.Concat(Enumerable.Range(1, 20_000).Select(i =>
            string.Create(CultureInfo.InvariantCulture, $"vehicle,V{i},Saloon,stone\n")));

        var dry = await app.TrySheetAsync(sheet);
        var refused = await app.SendSheetAsync(sheet);

        Assert.Equal(
            (20_000, 1000, 19_000),
            (dry.GetProperty("refused").GetInt32(), dry.GetProperty("rows").GetArrayLength(),
                dry.GetProperty("moreRows").GetInt32()));
        Assert.Equal(422, (int)refused.StatusCode);
        var problem = await refused.Json();
        Assert.Equal(
            (200, 19_800), (problem.GetProperty("rows").GetArrayLength(), problem.GetProperty("moreRows").GetInt32()));
        Assert.InRange(problem.ToString().Length, 1, 200_000);
    }

    /// <summary>The one bad row is the last of 1,500, and still shown.</summary>
    [Fact]
    public async Task The_refused_rows_come_before_the_good_ones()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var sheet = "record,reference,name,unit\n" + string.Concat(Enumerable.Range(1, 1499).Select(i =>
            string.Create(CultureInfo.InvariantCulture, $"vehicle,V{i},Saloon,mi\n"))) + "vehicle,V0,Saloon,stone\n";

        var report = await app.TrySheetAsync(sheet);

        Assert.Equal(["1501 unit unknown-value"], report.Cells("errors"));
        Assert.Equal(
            (1000, 500), (report.GetProperty("rows").GetArrayLength(), report.GetProperty("moreRows").GetInt32()));
    }

    [Fact]
    public async Task A_heading_without_end_is_refused_in_one_word()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var report = await app.TrySheetAsync(string.Join(',', Enumerable.Range(1, 50_000)) + "\n");

        Assert.Equal(["1  too-many-columns"], report.Cells("errors"));
    }

    [Fact]
    public async Task A_packed_sheet_is_refused()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        const string Sheet = "record,reference,name,unit\nvehicle,V1,Saloon,mi\n";

        Assert.Equal(415, (int)(await app.SendSheetAsync(Sheet, encoding: "gzip")).StatusCode);
        Assert.Equal(200, (int)(await app.SendSheetAsync(Sheet, encoding: "identity")).StatusCode);
    }
}
