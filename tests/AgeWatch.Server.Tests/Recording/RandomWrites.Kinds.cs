using System.Text;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Http;

namespace AgeWatch.Server.Tests.Recording;

internal sealed partial class RandomWrites
{
    private const string Cars = "vehicles";
    private const string Parts = "components";
    private const string Tasks = "service-tasks";
    private const string Readings = "odometer-readings";
    private const string Evidence = "evidence";
    private const string Instruments = "instruments";
    private const string Fittings = "fittings";
    private const string Swaps = "tyre-swaps";
    private const string Conventions = "mark-conventions";
    private const string Usual = "usual-distances";

    private static readonly string[] PartKinds = ["radiator-hose", "timing-belt", "tyre-road", "fuel-filter", "v-belt"];
    private static readonly string[] WorkKinds = ["engine-oil", "brake-fluid-glycol", "coolant-organic"];
    private static readonly string[] Marks = ["0115", "3/94", "10/1/96", "illegible", "0321", "N86-X", "N95-X"];

    private List<(string, Func<Task<HttpResponseMessage>>)> Writes() =>
        [
            .. OfVehicles(), .. OfUse(), .. OfPeriods(), .. OfComponents(), .. OfMoves(), .. OfCondition(Parts),
            .. OfCondition(Tasks), .. OfWork(), .. OfTheClub(),
        ];

    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfVehicles()
    {
        yield return ("vehicle added", () => MakeAsync(
            Cars, "/v1/vehicles",
            new { name = "Another", distanceUnit = "mi", built = $"{_random.Next(1960, 2010)}" }));
        yield return ("built corrected", () => ChangeAsync(
            Any(Cars), new { built = OneIn(6) ? null : $"{_random.Next(1960, 1999)}" }));
        yield return ("built corrected once more", () => ChangeAsync(
            Any(Cars), new { built = $"{_random.Next(1960, 2030)}-0{_random.Next(1, 9)}" }));
        yield return ("gone", () => ChangeAsync(Any(Cars), new { goneOn = OneIn(2) ? null : Day() }));
        yield return ("kind of vehicle", () => ChangeAsync(Any(Cars), new { kind = Pick("car", "van", "trailer") }));
        yield return ("where it is kept", () => ChangeAsync(
            Any(Cars), new { storage = Pick("heated", "unheated", "outdoors"), country = Pick("GB", "DE", null) }));
        yield return ("use declared", () => ChangeAsync(
            Any(Cars), new { declaredPerYear = OneIn(2) ? null : Given.Mi(_random.Next(0, 20_000)) }));
        yield return ("season", () => ChangeAsync(
            Any(Cars), new { season = OneIn(2) ? null : new { from = "04-01", to = "10-31" } }));
        yield return ("heat", () => ChangeAsync(Any(Cars), new
        {
            heatAgeing = new { activationEnergy = 0.954m, source = "A paper", counts = OneIn(2) },
        }));
        yield return ("vehicle removed", () => RemoveAsync(Cars));
    }

    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfUse()
    {
        const string Hours = "hour-readings";
        foreach (var time in (string[])["", " again"])
        {
            yield return ("odometer read" + time, ReadOdometerAsync);
        }

        yield return ("odometer reading corrected", () => ChangeAsync(Any(Readings), new { value = Shown(Day()) }));
        yield return ("odometer reading removed", () => RemoveAsync(Readings));
        yield return ("hours read", () => MakeAsync(
            Hours, $"{Any(Cars)}/hour-readings", new { on = Day(), hours = _random.Next(0, 30_000) / 10m }));
        yield return ("hours corrected", () => ChangeAsync(Any(Hours), new { hours = _random.Next(0, 5_000) }));
        yield return ("hours removed", () => RemoveAsync(Hours));
        yield return ("instrument taken out", () => ChangeAsync(Any(Instruments), new { removedOn = Day() }));
        yield return ("instrument put in", () => MakeAsync(
            Instruments, $"{Any(Cars)}/instruments",
            new { label = "second", unit = Pick("mi", "km"), digits = 6, fittedOn = Day() }));
        yield return ("drums turned over", () => ChangeAsync(Any(Instruments), new { digits = Pick(5, 6, 7) }));
        yield return ("instrument removed", () => RemoveAsync(Instruments));
    }

    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfPeriods()
    {
        foreach (var path in (string[])["standing-periods", "planned-trips", "temperatures"])
        {
            yield return ($"{path} added", () => AddPeriodAsync(path));
            yield return ($"{path} corrected", () => ChangeAsync(Any(path), new { from = Day() }));
            yield return ($"{path} removed", () => RemoveAsync(path));
        }
    }

    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfComponents()
    {
        yield return ("part added", () => MakeAsync(
            Parts, $"{Any(Cars)}/components", new
            {
                partKind = Pick<string>(PartKinds),
                original = OneIn(4),
                evidence = new object[] { AMark(), new { kind = "fitted", on = Day(), odometer = AnOdometer() } },
            }, "/v1/components"));
        yield return ("part onto the shelf", () => MakeAsync(
            Parts, "/v1/shelf", new { partKind = Pick<string>(PartKinds), evidence = new[] { AMark() } },
            "/v1/components"));
        yield return ("part corrected", () => ChangeAsync(
            Any(Parts), new { partKind = Pick<string>(PartKinds), original = OneIn(3) }));
        yield return ("part removed", () => RemoveAsync(Parts));
        yield return ("mark read", () => MakeAsync(Evidence, $"{Any(Parts)}/evidence", AMark()));
        yield return ("paper found", () => MakeAsync(
            Evidence, $"{Any(Parts)}/evidence",
            new { kind = "document", on = Day(), odometer = OneIn(6) ? AnOdometer() : null }));
        yield return ("mark read again", ReadMarkAgainAsync);
        yield return ("evidence withdrawn", () => EndAsync(Evidence, "withdraw"));
    }

    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfMoves()
    {
        foreach (var time in (string[])["", " again", " once more"])
        {
            yield return ("part moved" + time, MovePartAsync);
        }

        yield return ("spare fitted", FitSpareAsync);
        yield return ("part taken off", () => app.Post(
            $"{Any(Parts)}/take-off", new { on = NextDay(), to = OneIn(6) ? "discarded" : "shelf" }));
        yield return ("fitting corrected", () => ChangeAsync(
            Any(Fittings), OneIn(2)
                ? new { odometer = AnOdometer() }
                : (object)new { on = Day(), hours = _random.Next(0, 900) }));
        yield return ("tyres swapped", SwapTyresAsync);
        yield return ("swap undone", () => app.Post($"{Any(Swaps)}/undo", new { }));
    }

    /// <param name="kind">Parts or tasks.</param>
    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfCondition(string kind)
    {
        var (findings, deferrals, limits) = ($"{kind} findings", $"{kind} deferrals", $"{kind} limits");
        yield return ($"{findings} added", () => MakeAsync(findings, $"{Any(kind)}/findings", new
        {
            on = Day(),
            grade = Pick("good", "watch", "unfit"),
            odometer = OneIn(2) ? AnOdometer() : null,
        }));
        yield return ($"{findings} withdrawn", () => EndAsync(findings, "withdraw"));
        yield return ($"{deferrals} added", () => MakeAsync(deferrals, $"{Any(kind)}/deferrals", new
        {
            reason = "On order",
            person = "An owner",
            untilOn = Today.AddDays(_random.Next(-30, 300)),
            untilOdometer = AnOdometer(),
        }));
        yield return ($"{deferrals} ended", () => EndAsync(deferrals, "end"));
        yield return ($"{limits} added", () => MakeAsync(limits, $"{Any(kind)}/limits", new
        {
            level = Pick("inspect-from", "replace-by", "stop-use"),
            tag = Pick("maker", "label", "law"),
            reference = "Page 4",
            from = kind == Parts ? Pick("fitting", "manufacture") : "service",
            months = OneIn(2) ? _random.Next(1, 150) : (int?)null,
            distance = OneIn(2) ? Given.Mi(_random.Next(1, 60_000)) : null,
            hours = OneIn(4) ? _random.Next(1, 900) : (int?)null,
        }));
        yield return ($"{limits} corrected", () => ChangeAsync(Any(limits), new { months = _random.Next(1, 150) }));
        yield return ($"{limits} removed", () => RemoveAsync(limits));
    }

    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfWork()
    {
        const string Records = "records";
        yield return ("task added", () => MakeAsync(
            Tasks, $"{Any(Cars)}/service-tasks", new
            {
                partKind = Pick<string>(WorkKinds),
                lastDone = OneIn(2) ? new { on = Day(), odometer = AnOdometer() } : null,
            }, "/v1/service-tasks"));
        yield return ("task corrected", () => ChangeAsync(Any(Tasks), new { partKind = Pick<string>(WorkKinds) }));
        yield return ("task removed", () => RemoveAsync(Tasks));
        foreach (var time in (string[])["", " again"])
        {
            yield return ("work done" + time, () => MakeAsync(
                Records, $"{Any(Tasks)}/records",
                new { on = Day(), odometer = OneIn(2) ? AnOdometer() : null, hours = _random.Next(0, 900) }));
        }

        yield return ("work corrected", () => ChangeAsync(Any(Records), new { on = Day(), odometer = AnOdometer() }));
        yield return ("work removed", () => RemoveAsync(Records));
    }

    private IEnumerable<(string, Func<Task<HttpResponseMessage>>)> OfTheClub()
    {
        yield return ("usual distance", () => MakeAsync(Usual, "/v1/usual-distances", new
        {
            kind = Pick("car", "van"),
            perYear = Given.Mi(_random.Next(0, 20_000)),
        }));
        yield return ("usual distance corrected", () => ChangeAsync(
            Any(Usual), new { perYear = Given.Mi(_random.Next(1, 20_000)) }));
        yield return ("usual distance removed", () => RemoveAsync(Usual));
        yield return ("convention told", () => MakeAsync(Conventions, "/v1/mark-conventions", new
        {
            key = "north-works",
            name = "North works, ink on the web",
            sourceNote = "Told by a retired foreman.",
            pattern = @"N(?<year>\d\d)-X",
            years = "1960-01-01/1999-12-31",
            examples = new[] { new { mark = "N86-X", means = new[] { "1986" } } },
        }));
        yield return ("convention corrected", () => ChangeAsync(Any(Conventions), OneIn(2)
            ? new
            {
                pattern = @"N\d(?<year>\d)-X",
                years = "1970-01-01/1979-12-31",
                examples = new[] { new { mark = "N95-X", means = new[] { "1975" } } },
            }
            : (object)new { years = "1960-01-01/1989-12-31" }));
        yield return ("convention removed", () => RemoveAsync(Conventions));
        yield return ("walk round the car", () => app.Post($"{Any(Cars)}/walk-round", new
        {
            seenOn = Day(),
            built = OneIn(3) ? $"{_random.Next(1960, 1999)}" : null,
            odometer = OneIn(2) ? AnOdometer() : null,
            answers = new object[]
            {
                new { partKind = "seat-belt", fittedOn = Day() }, new { partKind = "air-bag", outcome = "absent" },
                new { subjectId = IdOf(Any(Parts)), mark = Pick<string>(Marks), finding = new { grade = "watch" } },
                new { subjectId = IdOf(Any(Tasks)), lastDoneOn = Day(), odometer = AnOdometer() },
            }[..(1 + _random.Next(4))],
        }));
        yield return ("sheet taken", () => ImportAsync(
            "record,reference,name,vehicle,unit,built,part kind,mark,seen on,fitted on,read on,odometer,last done on\n"
            + $"vehicle,S1,From a sheet,,mi,{_random.Next(1960, 1999)},,,,,,,\n"
            + $"component,S2,,S1,,,radiator-hose,{Pick<string>(Marks)},{Day()},{Day()},,,\n"
            + $"reading,,,S1,mi,,,,,,{Day()},{_random.Next(1, 99_999)},\n"
            + $"task,S3,,S1,,,engine-oil,,,,,,{Day()}\n"));
    }

    private Task<HttpResponseMessage> ReadOdometerAsync()
    {
        var on = Day();
        return MakeAsync(Readings, $"{Any(Cars)}/odometer-readings", new
        {
            on,
            value = Shown(on),
            unit = "mi",
            instrument = OneIn(4) ? "second" : "odometer",
        });
    }

    private Task<HttpResponseMessage> AddPeriodAsync(string path)
    {
        var from = Today.AddDays(_random.Next(-900, path == "planned-trips" ? 200 : 20));
        var to = OneIn(3) ? null : Text(from.AddDays(_random.Next(-2, 200)));
        return MakeAsync(path, $"{Any(Cars)}/{path}", path switch
        {
            "standing-periods" => new { from, to },
            "temperatures" => new { from, to, celsius = _random.Next(-10, 45) },
            _ => (object)new { from, to, distance = Given.Mi(_random.Next(0, 3_000)) },
        });
    }

    private async Task<HttpResponseMessage> ReadMarkAgainAsync()
    {
        var old = Any(Evidence);
        var again = await ChangeAsync(
            old, new { convention = Pick("iso-week", "north-works", "fmvss106-hose", null) });
        if (again.IsSuccessStatusCode)
        {
            Forget(old);
            Keep(Evidence, $"{old[..old.LastIndexOf('/')]}/{(await again.Json()).Id()}");
        }

        return again;
    }

    private Task<HttpResponseMessage> MovePartAsync()
    {
        var on = NextDay();
        return MakeAsync(Fittings, $"{Any(Parts)}/fittings", new
        {
            vehicleId = IdOf(Any(Cars)),
            on,
            odometer = OneIn(2) ? AnOdometer(Text(on)) : null,
            hours = OneIn(4) ? _random.Next(0, 2_000) : (int?)null,
            takenOffOn = on,
            takenOffOdometer = OneIn(2) ? AnOdometer(Text(on)) : null,
        });
    }

    private async Task<HttpResponseMessage> FitSpareAsync()
    {
        var shelf = (await app.Read("/v1/shelf")).Items().Select(spare => spare.Id().ToString()).ToHashSet();
        var spares = _made[Parts].Where(part => shelf.Contains(IdOf(part))).ToArray();
        var spare = spares.Length == 0 ? Any(Parts) : Pick<string>(spares);
        return await MakeAsync(
            Fittings, $"{spare}/fittings", new { vehicleId = IdOf(Any(Cars)), on = NextDay() });
    }

    private Task<HttpResponseMessage> SwapTyresAsync()
    {
        var sides = _made[Cars].Take(2).Select(car => new { vehicleId = IdOf(car) });
        return MakeAsync(Swaps, "/v1/tyre-swaps", new { on = NextDay(), vehicles = sides });
    }

    private object AMark() => new { kind = "mark", text = Pick<string>(Marks), on = Day() };

    private object AnOdometer() => AnOdometer(Day());

    private object AnOdometer(string on) => Given.Mi(Shown(on));

    private async Task<HttpResponseMessage> ImportAsync(string sheet)
    {
        using ByteArrayContent body = new(Encoding.UTF8.GetBytes(sheet));
        body.Headers.ContentType = new("text/csv");
        return await app.Officer.PostAsync("/v1/imports", body);
    }
}
