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
        Assert.Equal(
            ["components", "fittings", "instruments", "vehicles"], removed.Select(line => line.Record).Order());
        Assert.All(removed, line => Assert.Null(line.After));
        var component = removed.Single(line => line.Record == "components");
        Assert.Equal("radiator-hose", JsonDocument.Parse(component.Before!).RootElement.Text("partKind"));
    }

    /// <summary>Whatever was added about a car and its parts is removed with it, each by a line of its own; what sends
    /// word of the car goes too.</summary>
    [Theory, OnBothDatabases]
    public async Task What_goes_with_a_removed_record_has_lines_of_its_own(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var member = await app.GivenMemberAsync("Ann", "ann@club.example");
        var before = (await LinesAsync(app)).Count;
        var car = await app.GivenVehicleAsync("1985");
        var part = $"/v1/components/{await app.GivenComponent(car)}";
        await app.PostOk($"{part}/evidence", new { kind = "document", on = "2019-04-01" });
        var task = $"/v1/service-tasks/{await app.GivenServiceTask(car)}";
        await app.PostOk($"{part}/findings", new { on = "2020-01-01", grade = "watch" });
        await app.PostOk($"{task}/records", new { on = "2024-01-01" });
        await app.GivenReadingAsync(car, "2024-01-01", 50000);
        await app.PostOk("/v1/feeds", new { name = "Calendar", vehicleId = car });
        await app.PostOk("/v1/subscriptions", new { memberId = member, vehicleId = car });
        await app.PostOk("/v1/webhooks", new { name = "Hook", url = "https://hooks.example/a", vehicleId = car });
        var added = (await LinesAsync(app)).Skip(before).Where(line => line.Kind == ChangeKind.Added).ToList();

        var path = $"/v1/vehicles/{car}";
        Assert.Equal(204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, null, await app.Tag(path))).StatusCode);

        var removed = (await LinesAsync(app)).Where(line => line.Kind == ChangeKind.Removed).ToList();
        Assert.Equal(12, added.Count); // Each kind once.
        Assert.Equal(Named(added), Named(removed));
        Assert.All(removed, line => Assert.True(line.VehicleId == car, $"{line.Record} names {line.VehicleId}"));
        await using var db = app.Database.Open();
        Assert.False(await db.Evidence.AnyAsync(Stop) || await db.Feeds.AnyAsync(Stop));
    }

    [Theory, OnBothDatabases]
    public async Task A_removed_members_keys_and_wishes_have_their_lines(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var member = await app.GivenMemberAsync("Ann", "ann@club.example");
        using var own = await app.GivenKeyAsync("member", member);
        await app.PostOk("/v1/subscriptions", new { memberId = member, wholeClub = true });
        await app.PostOk("/v1/feeds", new { name = "Calendar", memberId = member });

        var path = $"/v1/members/{member}";
        Assert.Equal(204, (int)(await app.Officer.Ask(HttpMethod.Delete, path, null, await app.Tag(path))).StatusCode);

        var removed = (await LinesAsync(app)).Where(line => line.Kind == ChangeKind.Removed);
        Assert.Equal(["feeds", "keys", "members", "subscriptions"], removed.Select(line => line.Record).Order());
    }

    [Fact]
    public async Task A_line_names_the_member_whose_key_it_was()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var member = await app.GivenMemberAsync("Ann", "ann@club.example");
        using var own = await app.GivenKeyAsync("member", member);

        var body = JsonSerializer.Serialize(new { name = "Calendar" });
        Assert.Equal(201, (int)(await own.Ask(HttpMethod.Post, "/v1/feeds", body)).StatusCode);

        var lines = await LinesAsync(app);
        Assert.Equal(member, lines.Single(line => line.Record == "feeds").MemberId);
        Assert.Null(lines.Single(line => line.Record == "members").MemberId); // The officer's key is nobody's.
        var key = lines.Single(line => line.Record == "keys" && line.After!.Contains("\"role\":\"member\"", default));
        Assert.Equal(lines.Single(line => line.Record == "feeds").KeyId, key.RecordId);
    }

    /// <summary>Each is told to have changed. Of a key not even the last four characters are repeated, and the address
    /// of a hook opens it.</summary>
    [Theory, OnBothDatabases]
    public async Task No_secret_is_in_the_log(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var key = await app.PostOk("/v1/keys", new { name = "Script", role = "reader" });
        var feed = await app.PostOk("/v1/feeds", new { name = "Calendar" });
        var hook = await app.PostOk("/v1/webhooks", new { name = "Hook", url = "https://hooks.example/a-secret-way" });
        var path = $"/v1/webhooks/{hook.GetProperty("details").Id()}";
        var rotated = await app.Officer.Ask(HttpMethod.Post, $"{path}/rotate", "{}", await app.Tag(path));
        Assert.Equal(200, (int)rotated.StatusCode);
        await using var db = app.Database.Open();
        List<string> secrets = [
            key.Text("key")!, key.Text("key")![^4..], feed.Text("calendar")!.Split('/')[^1], "a-secret-way",
            hook.Text("secret")!, (await rotated.Json()).Text("secret")!,
            .. await db.AccessHashes.Select(access => access.Hash).ToListAsync(Stop),
            .. await db.Webhooks.Select(webhook => webhook.Secret).ToListAsync(Stop),
            .. await db.Webhooks.Select(webhook => webhook.PreviousSecret!).ToListAsync(Stop)];

        var lines = await LinesAsync(app);

        Assert.Equal(["keys", "keys", "feeds", "webhooks", "webhooks"], lines.Select(line => line.Record));
        Assert.Contains("\"secret\":\"withheld\"", lines[^1].After!, StringComparison.Ordinal);
        Assert.All(lines, line => Assert.All(secrets, secret =>
            Assert.DoesNotContain(secret, $"{line.Before} {line.After}", StringComparison.Ordinal)));
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
        await app.PostOk(
            $"{part}/limits",
            new { level = "replace-by", tag = "label", reference = "Page 4", from = "fitting", months = 60 });
        await app.PostOk(
            $"{part}/deferrals",
            new { reason = "On order", person = "An owner", untilOn = "2027-01-01", untilOdometer = Given.Mi(90000) });
        await app.PostOk($"{task}/records", new { on = "2024-01-01" });
        await app.GivenReadingAsync(car, "2024-01-01", 50000);

        var lines = (await LinesAsync(app)).Where(line => line.Record != "keys").ToList();
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

    private static IEnumerable<(string, Guid)> Named(IEnumerable<ChangeLogLine> lines) =>
        lines.Select(line => (line.Record, line.RecordId)).Order();

    private static async Task<List<ChangeLogLine>> LinesAsync(TestApp app)
    {
        await using var db = app.Database.Open();
        return await db.Changes.AsNoTracking().OrderBy(line => line.Sequence).ToListAsync(Stop);
    }
}
