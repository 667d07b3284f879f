using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Sheets;

/// <summary>Days as people write them. Which day is meant is plain from the calendar: there is no 25th month.</summary>
public sealed class SheetDayTests
{
    private const string Heading = "record,reference,name,vehicle,unit,built,part kind,fitted on\n"
        + "vehicle,V1,Saloon,,mi,1987-05,,\n";

    [Theory, OnBothDatabases]
    public async Task Slashes_that_can_be_read_in_one_way_are_taken(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        foreach (var (written, meant) in ((string, string)[])
        [
            ("25/12/2020", "2020-12-25"), ("12/25/2020", "2020-12-25"), ("04/04/2019", "2019-04-04"),
            ("\"April 2, 2019\"", "2019-04-02"), ("2-Apr-2019", "2019-04-02"),
        ])
        {
            await app.TakeSheetAsync($"{Heading}component,C1,,V1,,,radiator-hose,{written}\n");

            var fitting = (await app.OnlyAsync("/v1/components?reference=C1")).GetProperty("fitting");
            Assert.Equal((written, meant), (written, fitting.GetProperty("on").GetString()));
        }
    }

    [Theory]
    [InlineData("02/04/2019", "", "ambiguous-day")]
    [InlineData("31/04/2019", "", "wrong-format")]
    [InlineData("13/13/2019", "&dateOrder=day-first", "wrong-format")]
    [InlineData("25/12/2020", "&dateOrder=month-first", "against-date-order")]
    [InlineData("April 2019", "", "not-a-day")]
    [InlineData("04/2019", "", "not-a-day")]
    [InlineData("2019-04", "", "not-a-day")]
    [InlineData("2019", "", "not-a-day")]
    [InlineData("0001-01-01", "", "too-early")]
    [InlineData("soon", "", "wrong-format")]
    public async Task What_is_no_one_day_says_why(string written, string query, string code)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var report = await app.TrySheetAsync(
            $"{Heading.Replace("1987-05", "", StringComparison.Ordinal)}component,C1,,V1,,,radiator-hose,{written}\n",
            query);

        Assert.Equal([$"3 fitted on {code}"], report.Cells("errors"));
    }

    [Theory, OnBothDatabases]
    public async Task The_order_of_slashes_can_be_said_for_the_sheet(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        const string Sheet = $"{Heading}component,C1,,V1,,,radiator-hose,02/04/2019\n";

        await app.TakeSheetAsync(Sheet, "?dateOrder=day-first");
        Assert.Equal("2019-04-02", (await app.OnlyAsync("/v1/components?reference=C1"))
            .GetProperty("fitting").GetProperty("on").GetString());

        await app.TakeSheetAsync(Sheet, "?dateOrder=month-first");
        Assert.Equal("2019-02-04", (await app.OnlyAsync("/v1/components?reference=C1"))
            .GetProperty("fitting").GetProperty("on").GetString());
    }

    /// <summary>One day of the sheet shows the order of the other; only a person says that it holds for both.</summary>
    [Fact]
    public async Task The_order_that_other_days_show_is_suggested()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        const string Parts = "component,C1,,V1,,,radiator-hose,25/12/2020\ncomponent,C2,,V1,,,v-belt,02/04/2019\n";

        Assert.Equal(["dateOrder=day-first"], (await app.TrySheetAsync(Heading + Parts)).Suggestions());
        Assert.Empty((await app.TrySheetAsync(
            Heading + Parts + "component,C3,,V1,,,timing-belt,12/25/2020\n")).Suggestions());
    }

    [Theory]
    [InlineData("April 1987", "1987-04")]
    [InlineData("Apr 1987", "1987-04")]
    [InlineData("04/1987", "1987-04")]
    [InlineData("1987", "1987")]
    public async Task A_car_is_built_in_a_month_or_a_year(string written, string span)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        await app.TakeSheetAsync($"record,reference,name,unit,built\nvehicle,V1,Saloon,mi,{written}\n");

        Assert.Equal(span, (await app.OnlyAsync("/v1/vehicles")).GetProperty("built").GetString());
    }

    /// <summary>The first day there is: what a program writes that means no day at all.</summary>
    [Fact]
    public async Task The_first_day_of_the_calendar_is_refused_in_every_column()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        const string Sheet =
            "record,reference,name,vehicle,unit,built,registered on,part kind,mark,seen on,document on,fitted on,"
            + "last done on,read on,odometer\n"
            + "vehicle,V1,Saloon,,mi,,,,,,,,,,\n"
            + "vehicle,V2,Van,,mi,0001-01-01,0001-01-01,,,,,,,,\n"
            + "component,C1,,V1,,,,radiator-hose,3/94,0001-01-01,0001-01-01,0001-01-01,,,\n"
            + "task,T1,,V1,,,,engine-oil,,,,,0001-01-01,,\n"
            + "reading,,,V1,,,,,,,,,,0001-01-01,100\n";

        Assert.Equal(
            [
                "3 built too-early", "3 registered on too-early", "4 document on too-early", "4 fitted on too-early",
                "4 seen on too-early", "5 last done on too-early", "6 read on too-early",
            ],
            (await app.TrySheetAsync(Sheet)).Cells("errors").Order(StringComparer.Ordinal));
    }
}
