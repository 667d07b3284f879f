using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;

namespace AgeWatch.Server.Tests.Records;

/// <summary>What is found, put off, done and read.</summary>
internal static partial class FactKinds
{
    private static FactKind Finding => new(
        random => Some(random, new()
        {
            ["on"] = Walked,
            ["grade"] = Pick(random, "pass", "watch", "fail", "unfit"),
            ["sign"] = "surface cracks",
            ["measured"] = new { value = random.Next(9_000) / 1000m, unit = "mm" },
            ["note"] = "Seen\nfrom below.",
            ["foundBy"] = "A. Keeper",
            ["odometer"] = Whole(random, 99_999),
            ["hours"] = 12.5m,
        }, "sign", "measured", "note", "foundBy", "odometer", "hours"),
        [
            Flaw.Set("on", Tomorrow, "in-the-future"),
            Flaw.Set("measured", new { value = 1.5999m, unit = "mm" }, "too-precise"),
            Flaw.Set("measured", new { value = 1_000_001m, unit = "mm" }, "out-of-range"),
            new("measured in no unit", f => f["measured"] = new { value = 1, unit = "" },
                ("measured", "wrong-length"), ("measured", "not-one-line")),
            Flaw.Set("grade", "good", "unknown-value"),
            new("an empty sign", f => f["sign"] = "", ("sign", "wrong-length"), ("sign", "not-one-line")),
            .. Flaw.OfText("sign", 200),
            .. Flaw.OfText("foundBy", 200),
            Flaw.Set("note", new string('x', 4001), "wrong-length"),
            Flaw.OfDistance("odometer"),
            .. Flaw.OfHours(),
        ],
        [
            .. Subjects("findings", "findings", many: true),
            new("walked", async (app, f) => f.Sayable("odometer", "hours") is { } told
                ? await Door.WalkAsync(app, new
                {
                    seenOn = f["on"],
                    by = f.GetValueOrDefault("foundBy", "A. Walker"),
                    answers = new[] { new { partKind = Hose, finding = Json(told.Without("foundBy")) } },
                })
                : null, "#/answers/0/finding", ("#/seenOn", "on"), ("#/by", "foundBy")),
        ]);

    private static FactKind Deferral => new(
        random => Some(random, new()
        {
            ["reason"] = "parts on order",
            ["person"] = "A. Keeper",
            ["decidedOn"] = Day(random),
            ["untilOn"] = Pick(random, "2026-11-25", "2027-03-01"),
            ["untilOdometer"] = Whole(random, 99_999),
        }, "decidedOn"),
        [
            new("a kind that may never be put off", f => f["partKind"] = "brake-hose-flexible",
                ("", "never-deferred")),
            Flaw.Set("decidedOn", Tomorrow, "in-the-future"),
            Flaw.Set("untilOn", "2026-11-24", "in-the-past"),
            new("no distance", f => f.Without("untilOdometer"), ("untilOdometer", "missing-member")),
            new("no day", f => f.Without("untilOn"), ("untilOn", "missing-member")),
            .. Flaw.OfText("reason", 1000),
            .. Flaw.OfText("person", 200),
            Flaw.OfDistance("untilOdometer"),
        ],
        [.. Subjects("deferrals", "deferral", many: false)]);

    private static FactKind ServiceRecord => new(
        random => Some(random, new()
        {
            ["on"] = Day(random),
            ["odometer"] = Whole(random, 99_999),
            ["hours"] = random.Next(9_000) / 2m,
        }, "odometer", "hours"),
        [
            Flaw.Set("on", Tomorrow, "in-the-future"),
            Flaw.OfDistance("odometer"),
            .. Flaw.OfHours(),
        ],
        [
            new("stored with its task", async (app, f) => await app.Post(
                $"/v1/vehicles/{await app.GivenVehicleAsync()}/service-tasks",
                new { partKind = Oil, lastDone = f.Json() }), "#/lastDone"),
            new("stored later", async (app, f) =>
                await app.Post($"{await app.GivenSubject("service-tasks")}/records", f.Json())),
            new("calculated as the last", (app, f) => Door.Calculate(
                app, new { serviceTask = new { partKind = Oil, lastDone = f.Json() } }), "#/serviceTask/lastDone"),
            new("calculated as an earlier one", (app, f) => Door.Calculate(
                app, new { serviceTask = new { partKind = Oil, done = new[] { f.Json() } } }), "#/serviceTask/done/0"),
            new("imported", (app, f) => Door.DryRunAsync(app, CarRow, TaskRow(f)), null,
                ("last done on", "on"), ("last done odometer", "odometer"), ("last done hours", "hours")),
            new("walked", (app, f) => Door.WalkAsync(app, new
            {
                seenOn = Walked,
                answers = new[] { With(f.Json(("on", "lastDoneOn")), "partKind", Oil) },
            }), "#/answers/0", ("lastDoneOn", "on")),
        ]);

    private static FactKind OdometerReading => new(
        random => Some(random, new()
        {
            ["on"] = Walked,
            ["value"] = Whole(random, 99_999),
            ["unit"] = "mi",
            ["instrument"] = "odometer",
        }, "instrument"),
        [
            Flaw.Set("on", Tomorrow, "in-the-future"),
            Flaw.Set("value", -1m, "out-of-range"),
            Flaw.Set("value", 100_000_000m, "out-of-range"),
            Flaw.Set("value", 1_000_000m, "too-many-digits"),
            Flaw.Set("unit", "km", "wrong-unit"),
            Flaw.Set("instrument", "another", "no-such-instrument"),
            new("one of two", f => f.Without("instrument")["second"] = true, ("instrument", "several-instruments")),
        ],
        [
            new("stored", async (app, f) => await app.Post(
                $"/v1/vehicles/{await CarWithInstrumentsAsync(app, f)}/odometer-readings", Reading(f))),
            new("calculated", (app, f) => Door.Calculate(app, new
            {
                component = new { partKind = Hose },
                odometerReadings = new[] { Reading(f) },
                instruments = Instruments(f),
            }), "#/odometerReadings/0"),
            new("projected", async (app, f) => await app.Post(
                "/v1/calculations/usage", new { readings = new[] { Reading(f) }, instruments = Instruments(f) }),
                "#/readings/0"),
            new("imported", ImportReadingAsync, null,
                ("read on", "on"), ("odometer wrong-unit", "unit"), ("odometer several-instruments", "instrument"),
                ("odometer", "value")),
            new("walked", async (app, f) => await app.Post(
                $"/v1/vehicles/{await CarWithInstrumentsAsync(app, f)}/walk-round",
                new { seenOn = f["on"], answers = Array.Empty<object>(), odometer = Without(Reading(f), "on") }),
                "#/odometer", ("#/seenOn", "on")),
        ]);

    /// <summary>Of a part and of a task, stored and calculated.</summary>
    private static IEnumerable<Door> Subjects(string path, string member, bool many) =>
        from isPart in new[] { true, false }
        from isStored in new[] { true, false }
        let at = isPart ? "component" : "serviceTask"
        let usual = isPart ? Hose : Oil
        select new Door(
            $"{(isStored ? "stored" : "calculated")} of a {at}",
            async (app, fact) =>
            {
                var kind = (string)fact.GetValueOrDefault("partKind", usual);
                var told = fact.Copy().Without("partKind").Json();
                if (isStored)
                {
                    var car = await app.GivenVehicleAsync();
                    var subject = isPart
                        ? $"components/{await app.GivenComponent(car, kind)}"
                        : $"service-tasks/{await app.GivenServiceTask(car, kind)}";
                    return await app.Post($"/v1/{subject}/{path}", told);
                }

                return await Door.Calculate(app, new Dictionary<string, object>
                {
                    [at] = new Dictionary<string, object>
                    {
                        ["partKind"] = kind,
                        [member] = many ? new[] { told } : told,
                    },
                });
            },
            isStored ? "#" : many ? $"#/{at}/{member}/0" : $"#/{at}/{member}");

    private static Dictionary<string, string> TaskRow(Fact fact)
    {
        var row = fact.Row(
            "task", ("on", "last done on"), ("odometer", "last done odometer"), ("hours", "last done hours"));
        (row["vehicle"], row["part kind"]) = ("NEW", Oil);
        return row;
    }

    private static async Task<Guid> CarWithInstrumentsAsync(TestApp app, Fact fact)
    {
        var car = await app.GivenVehicleAsync();
        if (fact.ContainsKey("second"))
        {
            await app.PostOk($"/v1/vehicles/{car}/instruments", new { label = "second", unit = "mi", digits = 6 });
        }

        return car;
    }

    private static async Task<HttpResponseMessage?> ImportReadingAsync(TestApp app, Fact fact)
    {
        if (fact is { AtFault: ["instrument"] } && !fact.ContainsKey("second"))
        {
            return null; // A sheet cannot name one.
        }

        var car = await CarWithInstrumentsAsync(app, fact);
        await app.Patch($"/v1/vehicles/{car}", new { reference = $"{car}" });
        var row = fact.Row("reading", ("on", "read on"), ("value", "odometer"), ("unit", "unit"));
        row["vehicle"] = $"{car}";
        return await Door.DryRunAsync(app, row);
    }

    private static object[] Instruments(Fact fact) =>
    [
        new { id = "odometer", unit = "mi", digits = 6 },
        .. fact.ContainsKey("second") ? new object[] { new { id = "second", unit = "mi", digits = 6 } } : [],
    ];

    private static Dictionary<string, object?> Reading(Fact fact) => Without(fact.Json(), "second");

    private static Dictionary<string, object?> Without(Dictionary<string, object?> json, string member)
    {
        json.Remove(member);
        return json;
    }
}
