using AgeWatch.Server.Tests.Components;

namespace AgeWatch.Server.Tests.Records;

/// <summary>Vehicles and parts themselves.</summary>
internal static partial class FactKinds
{
    private static FactKind Vehicle => new(
        random => Some(random, new()
        {
            ["built"] = Pick(random, "1987", "1987-05", "1987-05-12", "2026-11-25"),
            ["registeredOn"] = Pick(random, "1990-03-01", "2026-11-25"),
            ["name"] = "Saloon",
            ["registration"] = "AB 12",
            ["chassis"] = "X 1",
            ["notes"] = "Bought\nin spring.",
            ["declaredPerYear"] = Whole(random, 9_999),
        }, "built", "registeredOn", "registration", "chassis", "notes", "declaredPerYear"),
        [
            Flaw.Set("built", "2027", "in-the-future"),
            Flaw.Set("built", Tomorrow, "in-the-future"),
            Flaw.Set("registeredOn", Tomorrow, "in-the-future"),
            Flaw.OfDistance("declaredPerYear"),
            .. Flaw.OfText("name", 200),
            .. Flaw.OfText("registration", 32),
            .. Flaw.OfText("chassis", 64),
            Flaw.Set("notes", new string('x', 4001), "wrong-length"),
            Flaw.Set("notes", "old \u0007 bell", "control-character"),
        ],
        [
            new("stored", async (app, f) => await app.Post("/v1/vehicles", With(f.Json(), "distanceUnit", "mi"))),
            new("corrected", async (app, f) => await app.Patch(
                $"/v1/vehicles/{await app.GivenVehicleAsync()}", f.Json())),
            new("imported", (app, f) => Door.DryRunAsync(app, VehicleRow(f)), null,
                ("per year", "declaredPerYear"), ("registered on", "registeredOn")),
            new("calculated", async (app, f) => f.Sayable("name", "registration", "chassis", "notes") is not null
                ? await Door.Calculate(app, new
                {
                    vehicle = new
                    {
                        built = f.GetValueOrDefault("built"),
                        registeredOn = f.GetValueOrDefault("registeredOn"),
                    },
                    component = new { partKind = Hose },
                    declaredPerYear = f.Json().GetValueOrDefault("declaredPerYear"),
                })
                : null, "#/vehicle", ("#/declaredPerYear/value", "declaredPerYear")),
            new("walked", async (app, f) =>
                f.Sayable(
                    "name", "registeredOn", "registration", "chassis", "notes", "declaredPerYear") is { } told
                && told.TryGetValue("built", out var built)
                ? await app.Post(
                    $"/v1/vehicles/{await app.GivenVehicleAsync(built: null)}/walk-round",
                    new { seenOn = "2026-11-25", answers = Array.Empty<object>(), built })
                : null),
        ]);

    private static FactKind Component => new(
        random => Some(random, Told(random), "position", "maker", "partNumber", "lot", "notes", "original"),
        [
            Flaw.Set("partKind", "no-such-kind", "unknown-part-kind"),
            .. Flaw.OfText("position", 100),
            .. Flaw.OfText("maker", 100),
            .. Flaw.OfText("partNumber", 100),
            .. Flaw.OfText("lot", 100),
            Flaw.Set("notes", new string('x', 4001), "wrong-length"),
            Flaw.Set("notes", "old \u0007 bell", "control-character"),
        ],
        [
            new("stored", async (app, f) => await app.Post(
                $"/v1/vehicles/{await app.GivenVehicleAsync()}/components", f.Json())),
            new("imported", (app, f) => Door.DryRunAsync(app, CarRow, With(ComponentRow(f), "vehicle", "NEW")), null,
                ("part kind", "partKind"), ("part number", "partNumber")),
            new("walked", (app, f) => Door.WalkAsync(
                app, new { seenOn = Walked, answers = new[] { f.Json(("notes", "note")) } }),
                "#/answers/0", ("note", "notes")),
        ]);

    private static FactKind Spare => new(
        random => Some(random, Told(random).Without("original"), "position", "maker", "notes"),
        [
            Flaw.Set("original", true, "not-on-a-vehicle"),
            Flaw.Set("fittedOn", "2020-01-01", "not-on-a-vehicle"),
            Flaw.Set("partKind", "no-such-kind", "unknown-part-kind"),
            Flaw.Set("notes", new string('x', 4001), "wrong-length"),
        ],
        [
            new("stored", async (app, f) => await app.Post("/v1/shelf", SpareJson(f)), "#", ("evidence", "fittedOn")),
            new("imported", (app, f) => Door.DryRunAsync(app, With(ComponentRow(f), "reference", "C1")), null,
                ("part kind", "partKind"), ("fitted on", "fittedOn")),
        ]);

    private static Fact Told(Random random) => new()
    {
        ["partKind"] = Hose,
        ["position"] = Pick(random, "front left", "engine bay"),
        ["maker"] = "Torvane",
        ["partNumber"] = "TV8",
        ["lot"] = "4417",
        ["notes"] = "Soft\nto the touch.",
        ["original"] = random.Next(2) == 0,
    };

    private static Dictionary<string, object?> SpareJson(Fact fact)
    {
        var json = Without(fact.Json(), "fittedOn");
        return fact.TryGetValue("fittedOn", out var on)
            ? With(json, "evidence", new[] { new { kind = "fitted", on } })
            : json;
    }

    private static Dictionary<string, string> ComponentRow(Fact fact) => fact.Row(
        "component", ("partKind", "part kind"), ("position", "position"), ("maker", "maker"),
        ("partNumber", "part number"), ("lot", "lot"), ("notes", "notes"), ("original", "original"),
        ("fittedOn", "fitted on"));

    private static Dictionary<string, string> VehicleRow(Fact fact)
    {
        var row = fact.Row(
            "vehicle", ("built", "built"), ("registeredOn", "registered on"), ("name", "name"),
            ("registration", "registration"), (
                "chassis", "chassis"), ("notes", "notes"), ("declaredPerYear", "per year"));
        (row["reference"], row["unit"]) = ("NEW", "mi");
        return row;
    }

    private static Dictionary<string, string> With(Dictionary<string, string> row, string column, string cell)
    {
        row[column] = cell;
        return row;
    }
}
