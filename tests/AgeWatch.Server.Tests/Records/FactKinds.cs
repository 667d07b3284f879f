using System.Globalization;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;

namespace AgeWatch.Server.Tests.Records;

/// <summary>The kinds of fact that more than one door takes. The day is 25 November 2026; the car is of May
/// 1987.</summary>
internal static partial class FactKinds
{
    private const string Tomorrow = "2026-11-26";
    private const string Walked = "2026-11-20";
    private const string Hose = "radiator-hose";
    private const string Oil = "engine-oil";

    private static readonly object Car = new { built = "1987-05" };

    private static readonly Dictionary<string, string> CarRow = new()
    {
        ["record"] = "vehicle",
        ["reference"] = "NEW",
        ["name"] = "Saloon",
        ["unit"] = "mi",
        ["built"] = "1987-05",
    };

    public static FactKind Of(string name) => name switch
    {
        "fitting" => Fitting,
        "mark" => Mark,
        "document" => Document,
        "finding" => Finding,
        "deferral" => Deferral,
        "service record" => ServiceRecord,
        "odometer reading" => OdometerReading,
        "vehicle" => Vehicle,
        "component" => Component,
        "spare" => Spare,
        _ => throw new ArgumentOutOfRangeException(nameof(name)),
    };

    private static FactKind Fitting => new(
        random => Some(random, new()
        {
            ["on"] = Day(random),
            ["odometer"] = Whole(random, 99_999),
            ["hours"] = random.Next(9_000) / 2m,
        }, "odometer", "hours"),
        [
            Flaw.Set("on", "1980-01-01", "before-built"),
            Flaw.Set("on", Tomorrow, "in-the-future"),
            new("odometer without its day", f => f.Without("on")["odometer"] = 61_200m, ("on", "missing")),
            new("hours without their day", f => f.Without("on", "odometer")["hours"] = 12.5m, ("on", "missing")),
            Flaw.OfDistance("odometer"),
            .. Flaw.OfHours(),
        ],
        [
            new("stored with its part", async (app, f) => await app.Post(
                $"/v1/vehicles/{await app.GivenVehicleAsync()}/components",
                new { partKind = Hose, evidence = new[] { With(f.Json(), "kind", "fitted") } }), "#/evidence/0"),
            new("corrected", CorrectFittingAsync),
            new("calculated", (app, f) => Door.Calculate(app, new
            {
                vehicle = Car,
                component = new { partKind = Hose, evidence = new[] { With(f.Json(), "kind", "fitted") } },
            }), "#/component/evidence/0"),
            new("imported", (app, f) => Door.DryRunAsync(app, CarRow, PartRow(f.Row(
                "component", ("on", "fitted on"), ("odometer", "fitted odometer"), ("hours", "fitted hours")))),
                null, ("fitted on", "on"), ("fitted odometer", "odometer"), ("fitted hours", "hours")),
            new("walked", (app, f) => Door.WalkAsync(app, new
            {
                seenOn = Walked,
                answers = new[] { With(f.Json(("on", "fittedOn")), "partKind", Hose) },
            }), "#/answers/0", ("fittedOn", "on")),
        ]);

    private static FactKind Mark => new(
        random => Some(random, new()
        {
            ["text"] = Pick(random, "3/94", "10/1/96", "N9?-X"),
            ["convention"] = Pick(random, "undeclared", "fmvss106-hose"),
            ["on"] = Walked,
        }, "convention"),
        [
            new("convention without a text", f => f.Without("text")["convention"] = "dmy",
                ("text", "missing"), ("convention", "not-a-mark")),
            Flaw.Set("convention", "no-such-one", "unknown-convention"),
            Flaw.Set("on", Tomorrow, "in-the-future"),
            .. Flaw.OfText("text", 120),
            .. Flaw.OfText("convention", 64),
        ],
        [
            new("stored with its part", async (app, f) => await app.Post(
                $"/v1/vehicles/{await app.GivenVehicleAsync()}/components",
                new { partKind = Hose, evidence = new[] { With(f.Json(), "kind", "mark") } }), "#/evidence/0"),
            new("stored later", async (app, f) => await app.Post(
                $"{await app.GivenSubject("components")}/evidence", With(f.Json(), "kind", "mark"))),
            new("calculated", (app, f) => Door.Calculate(app, new
            {
                vehicle = Car,
                component = new { partKind = Hose, evidence = new[] { With(f.Json(), "kind", "mark") } },
            }), "#/component/evidence/0"),
            new("imported", (app, f) => Door.DryRunAsync(app, CarRow, PartRow(f.Row(
                "component", ("on", "seen on"), ("text", "mark"), ("convention", "convention")))),
                null, ("seen on", "on"), ("mark", "text")),
            new("walked", (app, f) => Door.WalkAsync(app, new
            {
                seenOn = f["on"],
                answers = new[] { With(Json(f, ("text", "mark")), "partKind", Hose) },
            }), "#/answers/0", ("#/seenOn", "on"), ("mark", "text")),
        ]);

    private static FactKind Document => new(
        random => new() { ["on"] = Day(random) },
        [Flaw.Set("on", Tomorrow, "in-the-future"), Flaw.Set("on", "2026-13-01", "wrong-format")],
        [
            new("stored", async (app, f) => await app.Post(
                $"{await app.GivenSubject("components")}/evidence", With(f.Json(), "kind", "document"))),
            new("calculated", (app, f) => Door.Calculate(app, new
            {
                component = new { partKind = Hose, evidence = new[] { With(f.Json(), "kind", "document") } },
            }), "#/component/evidence/0"),
            new("imported", (app, f) =>
                Door.DryRunAsync(app, CarRow, PartRow(f.Row("component", ("on", "document on")))),
                null, ("document on", "on")),
        ]);

    private static async Task<HttpResponseMessage?> CorrectFittingAsync(TestApp app, Fact fact)
    {
        var car = await app.GivenVehicleAsync();
        var part = await app.PostOk($"/v1/vehicles/{car}/components", new { partKind = Hose });
        var wanted = fact.Json();
        wanted.TryAdd("on", null);
        return await app.Patch($"/v1/components/{part.Id()}/fittings/{part.Text("fitting", "id")}", wanted);
    }

    private static Dictionary<string, string> PartRow(Dictionary<string, string> row)
    {
        row["reference"] = "C1";
        row["vehicle"] = "NEW";
        row["part kind"] = Hose;
        return row;
    }

    /// <summary>As a walk says it: the day and who looked are said for all its answers.</summary>
    private static Dictionary<string, object?> Json(Fact fact, params (string Member, string Name)[] names)
    {
        var json = fact.Json(names);
        json.Remove("on");
        return json;
    }

    private static Dictionary<string, object?> With(Dictionary<string, object?> json, string member, object value)
    {
        json[member] = value;
        return json;
    }

    /// <summary>Leaves out by chance what need not be said.</summary>
    private static Fact Some(Random random, Fact fact, params string[] optional) =>
        fact.Without([.. optional.Where(_ => random.Next(2) == 0)]);

    private static T Pick<T>(Random random, params T[] of) => of[random.Next(of.Length)];

    private static decimal Whole(Random random, int most) => random.Next(most + 1);

    /// <summary>On which the car was there and that has come.</summary>
    private static string Day(Random random) => new DateOnly(1988, 1, 1).AddDays(random.Next(14_000))
        .ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
