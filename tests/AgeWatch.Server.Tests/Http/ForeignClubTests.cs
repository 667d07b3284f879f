using System.Text.Json;
using System.Text.RegularExpressions;
using AgeWatch.Server.Tests.Architecture;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Server.Tests.Storing;
using AgeWatch.Storage;
using AgeWatch.Storage.Marks;
using Microsoft.Data.Sqlite;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Http;

/// <summary>
/// Another club has a row in every table, all of them with one id. On every route of the document that id is unknown,
/// its own parent or not, in the path or in the body; and at the end the club's rows are as they were.
/// </summary>
public sealed partial class ForeignClubTests
{
    private const string Convention = "theirs";

    private static readonly Guid Theirs = AnyRows.Numbered(1);

    // What everybody may read, and what a secret in the address opens.
    private static readonly string[] OfNoClub = ["/v1/part-kinds/{key}", "/v1/feeds/{token}"];

    // Bodies in which one of their ids stands where one of our own would do.
    private static readonly (string Path, object Body, string At)[] Bodies =
    [
        ("/v1/vehicles", new { name = "Car", distanceUnit = "mi", memberId = Theirs }, "#/memberId"),
        ("/v1/keys", new { name = "Key", role = "member", memberId = Theirs }, "#/memberId"),
        ("/v1/feeds", new { name = "Feed", memberId = Theirs }, "#/memberId"),
        ("/v1/feeds", new { name = "Feed", vehicleId = Theirs }, "#/vehicleId"),
        ("/v1/webhooks", new { name = "Hook", url = "https://club.example/", vehicleId = Theirs }, "#/vehicleId"),
        ("/v1/subscriptions", new { memberId = Theirs, wholeClub = true }, "#/memberId"),
        ("/v1/subscriptions", new { memberId = "{member}", vehicleId = Theirs }, "#/vehicleId"),
        ("/v1/mail-tests", new { memberId = Theirs }, "#/memberId"),
        (
            "/v1/tyre-swaps",
            new
            {
                on = "2026-11-01",
                vehicles = new object[] { new { vehicleId = "{car}" }, new { vehicleId = Theirs } },
            },
            "#/vehicles/1/vehicleId"),
        (
            "/v1/components/{part}/fittings", new { vehicleId = Theirs, on = "2026-11-01", takenOffOn = "2026-11-01" },
            "#/vehicleId"),
    ];

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Its_ids_are_unknown_on_every_route(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, GivenNights.Idle);
        await GivenAnotherClubAsync(app);
        var before = await FingerprintAsync(app);
        var car = await app.GivenVehicleAsync();
        Dictionary<string, Guid> ours = new()
        {
            ["vehicles"] = car,
            ["components"] = await app.GivenComponent(car, "tyre-road"),
            ["service-tasks"] = await app.GivenServiceTask(car),
            ["webhooks"] = (await app.PostOk("/v1/webhooks", new { name = "W", url = "https://club.example/" }))
                .GetProperty("details").Id(),
        };

        List<string> faults = [];
        var asked = 0;
        foreach (var path in (await app.Read("/openapi/v1.json")).GetProperty("paths").EnumerateObject())
        {
            if (OfNoClub.Any(open => path.Name.StartsWith(open, StringComparison.Ordinal)))
            {
                continue;
            }

            foreach (var address in Addresses(path.Name, ours))
            {
                foreach (var method in path.Value.EnumerateObject().Select(m => m.Name.ToUpperInvariant())
                    .Where(m => m is "GET" or "POST" or "PATCH" or "DELETE"))
                {
                    asked++;
                    var reply = await app.Officer.Ask(
                        new(method), address, method is "GET" or "DELETE" ? null : "{}",
                        method is "GET" ? null : "*");
                    var text = reply.IsSuccessStatusCode ? await reply.Content.ReadAsStringAsync(Stop) : "";
                    var isRight = path.Name.Contains('{', StringComparison.Ordinal)
                        ? IsUnknown(method, (int)reply.StatusCode)
                        : (int)reply.StatusCode < 500;
                    if (!isRight || text.Contains($"{Theirs}", StringComparison.OrdinalIgnoreCase))
                    {
                        faults.Add($"{method} {address}: {(int)reply.StatusCode} {text}");
                    }
                }
            }
        }

        Assert.Empty(faults);
        Assert.True(asked > 150, $"{asked} requests");
        Assert.Equal(before, await FingerprintAsync(app));
    }

    [Theory, OnBothDatabases]
    public async Task Its_ids_are_unknown_in_bodies(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, GivenNights.Idle);
        await GivenAnotherClubAsync(app);
        var car = await app.GivenVehicleAsync();
        var part = await app.GivenComponent(car, "tyre-road");
        var member = await app.GivenMemberAsync("Ann", "ann@club.example");

        foreach (var (path, body, at) in Bodies)
        {
            string Filled(string text) => text.Replace("{car}", $"{car}", StringComparison.Ordinal)
                .Replace("{part}", $"{part}", StringComparison.Ordinal)
                .Replace("{member}", $"{member}", StringComparison.Ordinal);
            var reply = await app.Officer.Ask(
                HttpMethod.Post, Filled(path), Filled(JsonSerializer.Serialize(body, JsonSerializerOptions.Web)));
            Assert.True(422 == (int)reply.StatusCode, $"{path} {body}: {reply.StatusCode}");
            Assert.Contains(
                (await reply.Problem(422, "validation")).Errors(),
                error => error.Where == at && error.Code.StartsWith("no-such-", StringComparison.Ordinal));
        }
    }

    // A body that lacks something may be refused before anything is looked for; found is nothing in any case.
    private static bool IsUnknown(string method, int status) =>
        status == 404 || (method is "POST" or "PATCH" && status is 400 or 415 or 422);

    /// <summary>With their id everywhere, and with a parent of our own.</summary>
    private static IEnumerable<string> Addresses(string path, Dictionary<string, Guid> ours)
    {
        yield return Fill(path);
        if (Parameter().Count(path) > 1 && ours.TryGetValue(path.Split('/')[2], out var own))
        {
            yield return Fill(Parameter().Replace(path, $"{own}", 1));
        }
    }

    private static string Fill(string path) => Parameter().Replace(path, name => name.Value switch
    {
        "{key}" => Convention,
        "{localDate}" => "1987-05-01",
        _ => $"{Theirs}",
    });

    private static async Task GivenAnotherClubAsync(TestApp app)
    {
        await using var db = app.Database.Open(Theirs);
        await AnyRows.LiftRulesAsync(db);
        foreach (var table in db.Model.GetEntityTypes()
            .Where(t => !TenantModelTests.NotTenantOwned.Contains(t.ClrType)))
        {
            var row = AnyRows.RowOf(table, 1, isFull: true);
            if (row is ClubConvention convention)
            {
                typeof(ClubConvention).GetProperty(nameof(ClubConvention.Key))!.SetValue(convention, Convention);
            }

            db.Add(row);
        }

        await db.SaveChangesAsync(Stop);
        if (db.Database.GetDbConnection() is SqliteConnection connection)
        {
            // The server is not to be given this connection, whose rules are lifted.
            await db.Database.CloseConnectionAsync();
            SqliteConnection.ClearPool(connection);
        }
    }

    private static async Task<string> FingerprintAsync(TestApp app)
    {
        await using var db = app.Database.Open(Theirs);
        List<string> lines = [];
        foreach (var table in db.Model.GetEntityTypes()
            .Where(t => !TenantModelTests.NotTenantOwned.Contains(t.ClrType)))
        {
            var row = Assert.Single(AnyRows.Shown(await AnyRows.ByEfAsync(db, table.ClrType), table.ClrType));
            lines.Add($"{table.ShortName()}: {row}");
        }

        return string.Join('\n', lines);
    }

    [GeneratedRegex(@"\{\w+\}")]
    private static partial Regex Parameter();
}
