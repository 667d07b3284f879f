using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Changes;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Recording;

/// <summary>Every fact that is written leaves a line: who, what, before and after.</summary>
public sealed class ChangeLogTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task A_change_says_who_changed_what_from_what_to_what(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        var added = Assert.Single(await LinesAsync(app), line => line.Record == "vehicles");
        Assert.Equal((ChangeKind.Added, null, car), (added.Kind, added.Before, added.RecordId));
        Assert.Equal("Test car", JsonDocument.Parse(added.After!).RootElement.Text("name"));

        await app.Patch($"/v1/vehicles/{car}", new { name = "Renamed" });

        var changed = Assert.Single(await LinesAsync(app), line => line.Kind == ChangeKind.Changed);
        Assert.Equal(
            ("vehicles", """{"name":"Test car"}""", """{"name":"Renamed"}""", (Guid?)car),
            (changed.Record, changed.Before, changed.After, changed.VehicleId));
        await using var db = app.Database.Open();
        Assert.Equal(await db.Keys.Select(key => (Guid?)key.Id).SingleAsync(Stop), changed.KeyId);
    }

    [Theory, OnBothDatabases]
    public async Task A_removal_keeps_what_was_there(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        var part = $"/v1/components/{await app.GivenComponent(car)}";
        Assert.Equal(204, (int)(await app.Officer.Ask(HttpMethod.Delete, part, null, await app.Tag(part))).StatusCode);
        var path = $"/v1/vehicles/{car}";
        Assert.Equal(204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, null, await app.Tag(path))).StatusCode);

        var removed = (await LinesAsync(app)).Where(line => line.Kind == ChangeKind.Removed).ToList();
        Assert.Equal(["components", "vehicles"], removed.Select(line => line.Record));
        Assert.All(removed, line => Assert.Null(line.After));
        Assert.Equal("radiator-hose", JsonDocument.Parse(removed[0].Before!).RootElement.Text("partKind"));
    }

    /// <summary>What hangs on a part is found by the vehicle that the part is on.</summary>
    [Theory, OnBothDatabases]
    public async Task Each_kind_of_fact_about_a_vehicle_names_the_vehicle(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1985");
        var part = $"/v1/components/{await app.GivenComponent(car)}";
        var task = $"/v1/service-tasks/{await app.GivenServiceTask(car)}";
        await app.PostOk($"{part}/evidence", new { kind = "document", on = "2019-04-01" });
        await app.PostOk($"{part}/findings", new { on = "2020-01-01", grade = "watch" });
        await app.PostOk($"{part}/limits", new { level = "replace-by", tag = "label", from = "fitting", months = 60 });
        await app.PostOk(
            $"{part}/deferrals",
            new { reason = "On order", person = "An owner", untilOn = "2027-01-01", untilOdometer = Given.Mi(90000) });
        await app.PostOk($"{task}/records", new { on = "2024-01-01" });
        await app.GivenReadingAsync(car, "2024-01-01", 50000);

        var lines = await LinesAsync(app);
        string[] expected = [
            "vehicles", "components", "fittings", "service_tasks", "evidence", "findings", "limits", "deferrals",
            "service_records", "odometer_readings"];
        Assert.Empty(expected.Except(lines.Select(line => line.Record)));
        Assert.All(lines, line => Assert.True(line.VehicleId == car, $"{line.Record} names {line.VehicleId}"));
    }

    [Fact]
    public async Task A_refused_write_leaves_no_line()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync("1985");
        var before = (await LinesAsync(app)).Count;

        Assert.Equal(422, (int)(await app.Patch($"/v1/vehicles/{car}", new { name = "" })).StatusCode);

        Assert.Equal(before, (await LinesAsync(app)).Count);
    }

    /// <summary>A person can be forgotten: the log says that the record changed, not what it said.</summary>
    [Fact]
    public async Task What_a_members_record_says_is_withheld()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        using ByteArrayContent sheet = new("record,reference,name,email\nmember,M1,Ann,ann@club.example\n"u8.ToArray());
        sheet.Headers.ContentType = new("text/csv");

        Assert.True((await app.Officer.PostAsync("/v1/imports", sheet, Stop)).IsSuccessStatusCode);

        var line = Assert.Single(await LinesAsync(app), line => line.Record == "members");
        Assert.Equal("""{"withheld":true}""", line.After);
    }

    private static async Task<List<ChangeRow>> LinesAsync(TestApp app)
    {
        await using var db = app.Database.Open();
        return await db.Changes.AsNoTracking().OrderBy(line => line.Sequence).ToListAsync(Stop);
    }
}
