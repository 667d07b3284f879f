using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Calculations;

public sealed class DueOverHttpTests
{
    /// <summary>
    /// By hand: 10/1/96 is 1 October 1996 (49 CFR 571.106 S5.2.2(c), month first); the owner's maker figure of 120
    /// months beats the catalogue's 72 (common practice), so it was due on 1 October 2006.
    /// </summary>
    [Fact]
    public async Task A_makers_figure_stands_before_practice_and_the_beaten_number_is_still_shown()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var reply = await AskAsync(app, """
            { "asOf": "2026-11-25", "warningDays": 60,
              "vehicle": { "built": "1987-05", "country": "GB", "distanceUnit": "mi" },
              "component": { "partKind": "brake-hose-flexible", "original": false,
                "evidence": [
                  { "kind": "mark", "text": "10/1/96", "convention": "fmvss106-hose", "on": "2024-05-01" },
                  { "kind": "document", "on": "2019-04-01" },
                  { "kind": "fitted", "on": "2019-04-02", "odometer": { "value": 61200, "unit": "mi" } } ],
                "findings": [ { "on": "2025-06-01", "grade": "watch", "sign": "surface cracks" } ] },
              "limits": [ { "from": "manufacture", "months": 120, "level": "replace-by",
                "tag": "maker", "reference": "Page 4" } ],
              "odometerReadings": [ { "on": "2024-01-01", "value": 68210, "unit": "mi" } ] }
            """);

        Assert.Equal("overdue", reply.GetProperty("state").GetString());
        Assert.Equal("certain", reply.GetProperty("certainty").GetString());
        Assert.Equal("1996-10-01", reply.GetProperty("born").GetProperty("earliest").GetString());
        Assert.Equal("2006-10-01", reply.GetProperty("due").GetProperty("earliest").GetString());
        Assert.Equal("maker", reply.GetProperty("governing").GetProperty("tag").GetString());
        Assert.Contains(reply.GetProperty("limits").EnumerateArray(), l =>
            l.GetProperty("number").ValueKind == JsonValueKind.Number
            && l.GetProperty("number").GetDecimal() == 72 && l.GetProperty("standing").GetString() == "beaten");
        Assert.NotEmpty(reply.GetProperty("reasons").EnumerateArray());
    }

    /// <summary>Design rule 1: with nothing known, not even when the car was built, the state is unknown and never
    /// good.</summary>
    [Fact]
    public async Task Nothing_known_is_unknown()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var reply = await AskAsync(app, """{ "asOf": "2026-11-25", "component": { "partKind": "fuel-hose-low-pressure" } }""");
        Assert.Equal("unknown", reply.GetProperty("state").GetString());
        Assert.NotEmpty(reply.GetProperty("questions").EnumerateArray());
    }

    /// <summary>
    /// By hand: a hose fitted on 2 April 2019 without a mark can have lain 60 months on a shelf (common practice), so
    /// it was made from 2 April 2014 on; 72 months later, 2 April 2020, it is due at the earliest, 2 April 2025 at the
    /// latest.
    /// </summary>
    [Fact]
    public async Task A_fitted_day_without_a_mark_is_not_a_birthday()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var reply = await AskAsync(app, """
            { "asOf": "2026-11-25", "vehicle": { "built": "1987" },
              "component": { "partKind": "brake-hose-flexible", "evidence": [ { "kind": "fitted", "on": "2019-04-02" } ] } }
            """);
        Assert.Equal("2014-04-02", reply.GetProperty("born").GetProperty("earliest").GetString());
        Assert.Equal("2019-04-02", reply.GetProperty("born").GetProperty("latest").GetString());
        Assert.Equal("2020-04-02", reply.GetProperty("due").GetProperty("earliest").GetString());
        Assert.Equal("2025-04-02", reply.GetProperty("due").GetProperty("latest").GetString());
    }

    /// <summary>
    /// Design section 4.1: a part cannot have been made after its mark was seen, nor on a day that has not come. What
    /// is left is the presumption: as old as the car of May 1987, 72 months on (common practice) due from 1
    /// May 1993.
    /// </summary>
    [Theory]
    [InlineData("""{ "kind": "mark", "text": "10/1/28", "convention": "fmvss106-hose" }""")]
    [InlineData("""{ "kind": "mark", "text": "10/1/25", "convention": "fmvss106-hose", "on": "2024-05-01" }""")]
    [InlineData("""{ "kind": "mark", "text": "illegible", "on": "2024-05-01" }""")]
    public async Task Evidence_from_the_future_or_unread_makes_nothing_younger(string evidence)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var reply = await AskAsync(app, $$"""
            { "asOf": "2026-11-25", "vehicle": { "built": "1987-05" },
              "component": { "partKind": "brake-hose-flexible", "evidence": [ {{evidence}} ] } }
            """);
        Assert.Equal("overdue", reply.GetProperty("state").GetString());
        Assert.Equal("1993-05-01", reply.GetProperty("due").GetProperty("earliest").GetString());
        Assert.Equal("presumption", reply.GetProperty("born").GetProperty("evidence").GetString());
    }

    /// <summary>A fact is of the past: of the later of today, 25 November 2026, and the day asked about.</summary>
    [Theory]
    [InlineData("2027-01-01", "2026-11-25", false)]
    [InlineData("2027-01-01", "2027-06-01", true)]
    [InlineData("2026-11-25", "2020-01-01", true)]
    [InlineData("2026-11-26", "2020-01-01", false)]
    public async Task A_fact_is_not_of_a_later_day_than_today_or_the_day_asked_about(
        string on, string asOf, bool isTaken)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var due = await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/due", $$"""
            { "asOf": "{{asOf}}", "component": { "partKind": "radiator-hose",
                "evidence": [ { "kind": "document", "on": "{{on}}" } ],
                "findings": [ { "on": "{{on}}", "grade": "pass" } ] },
              "odometerReadings": [ { "on": "{{on}}", "value": 1, "unit": "km" } ] }
            """);
        var usage = await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/usage", $$"""
            { "asOf": "{{asOf}}", "readings": [ { "on": "{{on}}", "value": 1, "unit": "km" } ] }
            """);

        if (isTaken)
        {
            Assert.Equal((200, 200), ((int)due.StatusCode, (int)usage.StatusCode));
            return;
        }

        Assert.Equal(
            [
                ("#/odometerReadings/0/on", "in-the-future"), ("#/component/evidence/0/on", "in-the-future"),
                ("#/component/findings/0/on", "in-the-future"),
            ],
            (await due.Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/readings/0/on", "in-the-future")], (await usage.Problem(422, "validation")).Errors());
    }

    /// <summary>Asked how it stood in June 2025, a decision that held until then has not ended.</summary>
    [Theory]
    [InlineData("2025-06-01", "2025-06-01", true)]
    [InlineData("2025-06-01", "2025-05-31", false)]
    [InlineData("2027-06-01", "2026-11-25", true)]
    [InlineData("2027-06-01", "2026-11-24", false)]
    public async Task A_deferral_holds_on_today_or_the_day_asked_about(string asOf, string until, bool isTaken)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var due = await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/due", $$"""
            { "asOf": "{{asOf}}", "component": { "partKind": "radiator-hose", "deferral": {
                "reason": "parts on order", "person": "A. Keeper", "untilOn": "{{until}}",
                "untilOdometer": { "value": 70000, "unit": "mi" } } } }
            """);

        Assert.Equal(isTaken ? 200 : 422, (int)due.StatusCode);
    }

    /// <summary>
    /// By hand: bought in April 2025, after up to 24 months on the shelf (common practice), 0325 is week 3 or the month
    /// of March 2025, not day 325 of 1950. The calculator and the stored part say the same.
    /// </summary>
    [Fact]
    public async Task Nobodys_belt_is_seventy_years_older_than_its_bill()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync();
        await app.GivenComponent(
            car, "timing-belt", new { kind = "mark", text = "0325", on = "2025-06-01" },
            new { kind = "document", on = "2025-04-01" });
        var stored = (await (await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{car}/due")).Json())
            .GetProperty("items")[0].GetProperty("answer");

        var asked = await AskAsync(app, """
            { "vehicle": { "built": "1987-05" },
              "component": { "partKind": "timing-belt", "evidence": [
                { "kind": "mark", "text": "0325", "on": "2025-06-01" }, { "kind": "document", "on": "2025-04-01" } ] } }
            """);

        foreach (var born in new[] { asked, stored }.Select(answer => answer.GetProperty("born")))
        {
            Assert.Equal("2025-01-13", born.GetProperty("earliest").GetString());
            Assert.Equal("2025-03-31", born.GetProperty("latest").GetString());
            Assert.Contains(born.GetProperty("remote").EnumerateArray(), far =>
                far.GetProperty("reading").GetProperty("earliest").GetString() == "1950-11-21");
        }

        Assert.Contains(stored.GetProperty("reasons").EnumerateArray(), reason =>
            reason.GetString()!.Contains("1950-11-21", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_bare_month_on_a_harness_asks_what_it_says()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var reply = await AskAsync(app, """
            { "asOf": "2026-06-30", "vehicle": { "built": "1987-05" },
              "component": { "partKind": "race-harness-sfi", "evidence": [ { "kind": "mark", "text": "06/25", "on": "2026-06-30" } ] } }
            """);

        Assert.Equal("possible", reply.GetProperty("certainty").GetString());
        Assert.Contains(reply.GetProperty("questions").EnumerateArray(), question =>
            question.GetString()!.Contains("made, or not valid after", StringComparison.Ordinal));
    }

    /// <summary>Published survey example: 9,040 mi between 11 August 2008 and 5 August 2009, 359 days, 25.18 mi a day
    /// (R.E. Wilson et al., 2015).</summary>
    [Fact]
    public async Task Two_readings_give_the_published_rate()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/usage", """
            { "asOf": "2009-08-05", "remaining": { "value": 1000, "unit": "mi" },
              "readings": [ { "on": "2008-08-11", "value": 123259, "unit": "mi" }, { "on": "2009-08-05", "value": 132299, "unit": "mi" } ] }
            """);
        var reply = await response.Json();
        Assert.Equal(9040m, reply.GetProperty("total").GetProperty("value").GetDecimal());
        Assert.Equal(25.181 * 365.25, (double)reply.GetProperty("perYear").GetProperty("value").GetDecimal(), 25.0);
    }

    private static async Task<JsonElement> AskAsync(TestApp app, string body)
    {
        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/due", body);
        Assert.True(response.IsSuccessStatusCode, await response.Content.ReadAsStringAsync());
        return await response.Json();
    }
}
