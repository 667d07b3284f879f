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

    [Fact]
    public async Task A_refused_write_leaves_no_line_and_a_member_is_not_told_of()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync("1985");
        var before = (await LinesAsync(app)).Count;

        Assert.Equal(422, (int)(await app.Patch($"/v1/vehicles/{car}", new { name = "" })).StatusCode);
        Assert.Equal(before, (await LinesAsync(app)).Count);
        Assert.DoesNotContain(await LinesAsync(app), line => line.Record == "members" && line.After!.Contains('@'));
    }

    private static async Task<List<ChangeRow>> LinesAsync(TestApp app)
    {
        await using var db = app.Database.Open();
        return await db.Changes.AsNoTracking().OrderBy(line => line.Sequence).ToListAsync(Stop);
    }
}
