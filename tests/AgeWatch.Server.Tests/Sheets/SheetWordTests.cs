using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Sheets;

/// <summary>Sheets that were not written for this program.</summary>
public sealed class SheetWordTests
{
    private const string Foreign = "Record,Ref,Name,Unit,Number Plate,Colour,odometr,read on,vehicle\n"
        + "vehicle,V1,Saloon,Meilen,OLD 1,red,,,\nreading,,,,,,61200 Meilen,2024-05-01,V1\n";

    [Theory, OnBothDatabases]
    public async Task What_the_dry_run_suggests_makes_the_sheet_understood(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);

        var suggested = (await app.TrySheetAsync(Foreign)).Suggestions();
        Assert.Equal(
            [
                "columns=ref:reference", "columns=number plate:registration", "columns=odometr:odometer",
                "units=meilen:mi",
            ],
            suggested);
        Assert.Equal(
            ["1 Colour unknown-column"], (await app.TrySheetAsync(Foreign, Query(suggested))).Cells("errors"));

        string[] said = [.. suggested, "columns=colour:-"];
        var report = await app.TakeSheetAsync(Foreign, "?" + Query(said)[1..]);
        Assert.Equal(2, report.GetProperty("created").GetInt32());
        var car = await app.OnlyAsync("/v1/vehicles");
        Assert.Equal("OLD 1", car.GetProperty("registration").GetString());
        var reading = await app.OnlyAsync($"/v1/vehicles/{car.GetProperty("id").GetGuid()}/odometer-readings");
        Assert.Equal(
            ("61200", "mi"), (reading.GetProperty("value").ToString(), reading.GetProperty("unit").GetString()));
    }

    [Theory]
    [InlineData("columns=colour", "wrong-format")]
    [InlineData("columns=colour:hue", "unknown-column")]
    [InlineData("columns=a:name&columns=A:notes", "doubled")]
    [InlineData("units=leagues:league", "unknown-value")]
    [InlineData("dateOrder=year-first", "unknown-value")]
    public async Task A_parameter_that_cannot_be_meant_is_refused(string query, string code)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var response = await app.SendSheetAsync(Foreign, $"?{query}");

        Assert.Equal(400, (int)response.StatusCode);
        Assert.Equal(code, (await response.Json()).GetProperty("errors")[0].GetProperty("code").GetString());
    }

    private static string Query(IEnumerable<string> suggestions) =>
        string.Concat(suggestions.Select(s => "&" + s.Replace(" ", "%20", StringComparison.Ordinal)));
}
