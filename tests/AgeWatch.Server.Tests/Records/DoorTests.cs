using System.Globalization;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Records;

/// <summary>The same fact gets the same verdict whatever door it comes through; each door points in its own
/// way.</summary>
public sealed class DoorTests
{
    private const string Reversed = "Old \u202Esaloon";

    private static readonly object Own = new
    {
        key = "north-works",
        name = "North works",
        sourceNote = "Read off hoses of one works.",
        pattern = @"N(?<year>\d\d)-X",
        years = "1960-01-01/1999-12-31",
        examples = new[] { new { mark = "N86-X", means = new[] { "1986" } } },
    };

    [Theory, OnBothDatabases]
    public async Task Nothing_is_fitted_before_the_car_was_built(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1987-05");
        object[] evidence = [new { kind = "fitted", on = "1980-01-01" }];

        var stored = await app.Post($"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", evidence });
        var calculated = await app.Post("/v1/calculations/due", new
        {
            vehicle = new { built = "1987-05" },
            component = new { partKind = "radiator-hose", evidence },
        });
        var imported = await ImportAsync(app,
            "record,reference,name,vehicle,unit,built,part kind,fitted on\n"
            + "vehicle,V1,Saloon,,mi,1987-05,,\ncomponent,C1,,V1,,,radiator-hose,1980-01-01\n");

        Assert.Equal([("#/evidence/0/on", "before-built")], (await stored.Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/component/evidence/0/on", "before-built")], (await calculated.Problem(422, "validation")).Errors());
        Assert.Equal([("fitted on", "before-built")], imported);
    }

    [Theory, OnBothDatabases]
    public async Task Nothing_is_fitted_after_the_car_has_gone(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1987-05");
        await app.Patch($"/v1/vehicles/{car}", new { reference = "V1", goneOn = "2020-01-01" });
        object[] evidence = [new { kind = "fitted", on = "2021-01-01" }];

        var stored = await app.Post($"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", evidence });
        var imported = await ImportAsync(app,
            "record,reference,vehicle,part kind,fitted on\ncomponent,C1,V1,radiator-hose,2021-01-01\n");

        Assert.Equal([("#/evidence/0/on", "after-gone")], (await stored.Problem(422, "validation")).Errors());
        Assert.Equal([("fitted on", "after-gone")], imported);
    }

    /// <summary>U+202E turns the text after it round: what a person reads is not what stands there.</summary>
    [Fact]
    public async Task A_name_that_turns_the_text_round_is_refused()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);

        var stored = await app.Post("/v1/vehicles", new { name = Reversed, distanceUnit = "mi" });
        var imported = await ImportAsync(app, $"record,reference,name,unit\nvehicle,V1,{Reversed},mi\n");

        Assert.Equal([("#/name", "not-one-line")], (await stored.Problem(422, "validation")).Errors());
        Assert.Equal([("name", "not-one-line")], imported);
    }

    [Theory, OnBothDatabases]
    public async Task A_convention_of_the_clubs_own_is_known_everywhere(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        await app.PostOk("/v1/mark-conventions", Own);
        var car = await app.GivenVehicleAsync("1987-05");
        object named = new { kind = "mark", text = "N95-X", convention = "north-works", on = "2024-05-01" };
        object undeclared = new { kind = "mark", text = "N95-X", on = "2024-05-01" };

        await app.PostOk(
            $"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", evidence = new[] { named } });
        Assert.Empty(await ImportAsync(app,
            "record,reference,name,vehicle,unit,built,part kind,mark,convention\n"
            + "vehicle,V1,Saloon,,mi,1987-05,,,\ncomponent,C1,,V1,,,radiator-hose,N95-X,north-works\n"));
        foreach (var evidence in (object[])[named, undeclared])
        {
            var answer = await app.PostOk("/v1/calculations/due", new
            {
                asOf = "2026-11-25",
                vehicle = new { built = "1987-05" },
                component = new { partKind = "radiator-hose", evidence = new[] { evidence } },
            }, 200);
            Assert.Equal(("1995-01-01", "mark"), (answer.Text("born", "earliest"), answer.Text("born", "evidence")));
        }
    }

    [Theory, OnBothDatabases]
    public async Task Work_is_noted_with_what_the_odometer_showed(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1987-05");
        object[] evidence = [new { kind = "service", on = "2024-05-01", odometer = Given.Mi(61200), hours = 12.5 }];

        var part = await app.PostOk(
            $"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", evidence });
        await app.PostOk("/v1/calculations/due", new
        {
            vehicle = new { built = "1987-05" },
            component = new { partKind = "radiator-hose", evidence },
        }, 200);

        var kept = (await app.Read($"/v1/components/{part.Id()}/evidence")).Items().Single();
        Assert.Equal(("61200", "12.5"), (kept.Text("odometer", "value"), kept.Text("hours")));
    }

    /// <summary>What is kept in thousandths is not rounded: 12.5006 would come back longer, 0.0004 as
    /// nothing.</summary>
    [Theory]
    [InlineData(12.5006)]
    [InlineData(0.0004)]
    public async Task A_limit_finer_than_it_can_be_kept_is_refused(double hours)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var part = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}";
        object limit = new { level = "replace-by", tag = "label", reference = "Page 4", from = "fitting", hours };
        object far = new
        {
            level = "replace-by",
            tag = "label",
            reference = "Page 4",
            from = "fitting",
            distance = new { value = hours, unit = "km" }
        };

        var stored = await app.Post($"{part}/limits", limit);
        var storedFar = await app.Post($"{part}/limits", far);
        var calculated = await app.Post("/v1/calculations/due", new
        {
            component = new { partKind = "radiator-hose" },
            limits = new[] { limit, far },
        });

        Assert.Equal([("#/hours", "too-precise")], (await stored.Problem(422, "validation")).Errors());
        Assert.Equal([("#/distance", "too-precise")], (await storedFar.Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/limits/0/hours", "too-precise"), ("#/limits/1/distance", "too-precise")],
            (await calculated.Problem(422, "validation")).Errors());
    }

    [Fact]
    public async Task A_part_was_fitted_here_once()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        object component = new
        {
            partKind = "radiator-hose",
            evidence = new[] { new { kind = "fitted", on = "2019-04-01" }, new { kind = "fitted", on = "2020-04-01" } },
        };

        var stored = await app.Post($"/v1/vehicles/{await app.GivenVehicleAsync()}/components", component);
        var calculated = await app.Post("/v1/calculations/due", new { component });

        Assert.Equal([("#/evidence/1", "doubled")], (await stored.Problem(422, "validation")).Errors());
        Assert.Equal([("#/component/evidence/1", "doubled")], (await calculated.Problem(422, "validation")).Errors());
    }

    /// <summary>A spare that came from a car may be original to it; one that was never on a car may not.</summary>
    [Fact]
    public async Task A_spare_is_original_to_the_car_that_it_came_from()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var never = $"/v1/components/{await app.GivenSpare()}";
        var once = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}";
        await app.PostOk($"{once}/take-off", new { on = "2020-01-01", to = "shelf" }, 200);
        await app.Patch(never, new { reference = "C1" });
        await app.Patch(once, new { reference = "C2" });
        const string Columns = "record,reference,part kind,original\n";

        Assert.Equal(
            [("#/original", "not-on-a-vehicle")],
            (await (await app.Patch(never, new { original = true })).Problem(422, "validation")).Errors());
        Assert.Equal(200, (int)(await app.Patch(once, new { original = true })).StatusCode);
        Assert.Equal(
            [("original", "not-on-a-vehicle")],
            await ImportAsync(app, $"{Columns}component,C1,radiator-hose,yes\n"));
        Assert.Empty(await ImportAsync(app, $"{Columns}component,C2,radiator-hose,yes\n"));
    }

    /// <summary>Of two instruments nobody can tell which has so many digits.</summary>
    [Fact]
    public async Task Digits_of_one_of_two_instruments_are_not_lost()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync();
        await app.Patch($"/v1/vehicles/{car}", new { reference = "V1" });
        await app.PostOk($"/v1/vehicles/{car}/instruments", new { label = "second", unit = "mi", digits = 6 });

        Assert.Equal(
            [("digits", "several-instruments")], await ImportAsync(app, "record,reference,digits\nvehicle,V1,5\n"));
    }

    /// <summary>A trip that covers nothing is none.</summary>
    [Fact]
    public async Task A_trip_has_a_distance()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        object trip = new { from = "2027-05-01", distance = Given.Mi(0) };

        var stored = await app.Post($"/v1/vehicles/{await app.GivenVehicleAsync()}/planned-trips", trip);
        var calculated = await app.Post(
            "/v1/calculations/due",
            new { component = new { partKind = "radiator-hose" }, plannedTrips = new[] { trip } });

        Assert.Equal([("#/distance", "out-of-range")], (await stored.Problem(422, "validation")).Errors());
        Assert.Equal(
            [("#/plannedTrips/0/distance", "out-of-range")], (await calculated.Problem(422, "validation")).Errors());
    }

    /// <summary>A part that came off one car in 2020 cannot have been on another since 1995.</summary>
    [Theory, OnBothDatabases]
    public async Task A_part_is_in_one_place_at_a_time(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var (one, other) = (await app.GivenVehicleAsync("1987"), await app.GivenVehicleAsync("1987"));
        await app.Patch($"/v1/vehicles/{other}", new { reference = "V2" });
        var part = $"/v1/components/{await app.GivenComponent(one)}";
        await app.Patch(part, new { reference = "C1" });
        var fitting = await app.PostOk(
            $"{part}/fittings", new { vehicleId = other, on = "2020-05-03", takenOffOn = "2020-05-01" });

        var changed = await app.Patch($"{part}/fittings/{fitting.Id()}", new { on = "1995-01-01" });
        var imported = await ImportAsync(app,
            "record,reference,vehicle,part kind,fitted on\ncomponent,C1,V2,radiator-hose,1995-01-01\n");

        Assert.Equal([("#/on", "overlaps")], (await changed.Problem(422, "validation")).Errors());
        Assert.Equal([("fitted on", "overlaps")], imported);
    }

    /// <summary>The walk tells when the car was built and when a recorded part was fitted, in one request.</summary>
    [Theory, OnBothDatabases]
    public async Task A_walk_that_tells_the_built_date_is_held_to_it(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync(built: null);
        var part = await app.GivenComponent(car);

        var walked = await app.Post($"/v1/vehicles/{car}/walk-round", new
        {
            seenOn = "2026-11-20",
            built = "1990",
            answers = new[] { new { subjectId = part, fittedOn = "1985-01-01" } },
        });

        Assert.Equal(
            [("#/answers/0/fittedOn", "before-built")], (await walked.Problem(422, "validation")).Errors());
    }

    /// <summary>Hundreds of limits, valid and not: stored beside a part and sent to the calculator.</summary>
    [Fact]
    public async Task Limits_get_one_verdict()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var part = $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync())}";
        Random random = new(5);
        var taken = 0;
        for (var i = 0; i < 300; i++)
        {
            var limit = RandomLimit(random);

            var stored = await app.Post($"{part}/limits", limit);
            var calculated = await app.Post("/v1/calculations/due", new
            {
                component = new { partKind = "radiator-hose" },
                limits = new[] { limit },
            });

            Assert.Equal(
                await VerdictAsync(stored, "#/"), await VerdictAsync(calculated, "#/limits/0/"));
            taken += stored.IsSuccessStatusCode ? 1 : 0;
        }

        Assert.InRange(taken, 20, 280);
    }

    [Fact]
    public async Task Evidence_gets_one_verdict()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var car = await app.GivenVehicleAsync("1987-05");
        Random random = new(6);
        var taken = 0;
        for (var i = 0; i < 300; i++)
        {
            object[] evidence = [RandomEvidence(random)];

            var stored = await app.Post($"/v1/vehicles/{car}/components", new { partKind = "radiator-hose", evidence });
            var calculated = await app.Post("/v1/calculations/due", new
            {
                vehicle = new { built = "1987-05" },
                component = new { partKind = "radiator-hose", evidence },
            });

            Assert.Equal(
                await VerdictAsync(stored, "#/"), await VerdictAsync(calculated, "#/component/"));
            taken += stored.IsSuccessStatusCode ? 1 : 0;
        }

        Assert.InRange(taken, 20, 280);
    }

    private static Dictionary<string, object> RandomLimit(Random random)
    {
        Dictionary<string, object> limit = new()
        {
            ["level"] = Pick(random, "inspect-from", "replace-by", "stop-use"),
            ["tag"] = Pick(random, "law", "label", "maker", "standard"),
            ["reference"] = Pick(random, "Workshop manual", "Page 12-4", "Label", "Plate", Reversed),
        };
        limit["from"] = Pick(
            random, "manufacture", "fitting", "fill", "service", "regulatory", "printed", "finding", "inspection");
        if (random.Next(4) == 0)
        {
            limit.Remove("from");
        }

        Maybe(random, limit, "months", Pick<object>(random, 1, 60, 120, 240, 0, 1201));
        Maybe(random, limit, "hours", Pick<object>(random, 12.5, 1, 100, 250.25, 0, 1_000_001));
        Maybe(random, limit, "distance", new { value = Pick(random, 0, 60000), unit = "mi" });
        Maybe(random, limit, "lastDay", "2030-12-31");
        Maybe(random, limit, "endRule", Pick(random, "day", "month-end", "year-end"));
        Maybe(random, limit, "validFrom", "2030-01-01");
        return limit;
    }

    private static Dictionary<string, object> RandomEvidence(Random random)
    {
        Dictionary<string, object> evidence = new()
        {
            ["kind"] = Pick(random,
                "mark", "document", "plate", "fill", "service", "regulatory", "fitted", "presumption"),
        };
        Maybe(random, evidence, "on", Pick(random, "2019-04-01", "1980-01-01", "1987-05-01"));
        Maybe(random, evidence, "text", Pick(random, "3/94", "10/1/96"));
        Maybe(random, evidence, "convention", Pick(random, "undeclared", "no-such-convention", "fmvss106-hose"));
        Maybe(random, evidence, "triangle", true);
        Maybe(random, evidence, "odometer", Given.Mi(61200));
        Maybe(random, evidence, "hours", Pick<object>(random, 12.5, -1));
        Maybe(random, evidence, "notedBy", Pick(random, "an owner", Reversed));
        return evidence;
    }

    private static T Pick<T>(Random random, params T[] of) => of[random.Next(of.Length)];

    private static void Maybe(Random random, Dictionary<string, object> fact, string member, object value)
    {
        if (random.Next(3) == 0)
        {
            fact[member] = value;
        }
    }

    /// <summary>Taken, or the codes with where each points below <paramref name="root"/>.</summary>
    private static async Task<string> VerdictAsync(HttpResponseMessage response, string root)
    {
        if (response.IsSuccessStatusCode)
        {
            return "taken";
        }

        var errors = (await response.Json()).Errors().Select(error => string.Create(
            CultureInfo.InvariantCulture, $"{error.Item1.Replace(root, "", StringComparison.Ordinal)} {error.Item2}"));
        return string.Join('\n', errors.Order(StringComparer.Ordinal));
    }

    /// <returns>Column and code of each refused cell; empty: the sheet was taken.</returns>
    private static async Task<IReadOnlyList<(string Column, string Code)>> ImportAsync(TestApp app, string sheet)
    {
        ByteArrayContent body = new(Encoding.UTF8.GetBytes(sheet));
        body.Headers.ContentType = new MediaTypeHeaderValue("text/csv");
        var response = await app.Officer.PostAsync("/v1/imports", body, TestContext.Current.CancellationToken);
        var report = await response.Json();
        return response.IsSuccessStatusCode ? [] : Refused(report);
    }

    private static List<(string Column, string Code)> Refused(JsonElement report) => [.. report.GetProperty("rows")
        .EnumerateArray()
        .Where(row => row.TryGetProperty("errors", out var errors) && errors.ValueKind == JsonValueKind.Array)
        .SelectMany(row => row.GetProperty("errors").EnumerateArray())
        .Select(error => (error.Text("column")!, error.Text("code")!))];
}
