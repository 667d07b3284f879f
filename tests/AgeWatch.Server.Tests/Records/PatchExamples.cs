using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using static AgeWatch.Server.Tests.Components.Given;
using static AgeWatch.Server.Tests.Records.PatchMember;

namespace AgeWatch.Server.Tests.Records;

/// <summary>Each resource that has a PATCH, filled in every member. All names and figures are invented.</summary>
internal static partial class PatchExamples
{
    public static IReadOnlyList<PatchExample> All { get; } = [
        Vehicle, OdometerReading, Instrument, HourReading, StandingPeriod, PlannedTrip, Temperature, UsualDistance,
        Component, Evidence, Fitting,
        .. LimitsOf("components", async app => await app.GivenComponent(await app.GivenVehicleAsync())),
        .. LimitsOf("service-tasks", async app => await app.GivenServiceTask(await app.GivenVehicleAsync())),
        ServiceTask, ServiceRecord, Member, Convention, SubscriptionToVehicle, SubscriptionToClub, Webhook];

    private static PatchExample Vehicle => new(
        "/v1/vehicles/{id}",
        async app => await MadeAsync(app, "/v1/vehicles", new
        {
            name = "Blue saloon",
            distanceUnit = "mi",
            kind = "van",
            built = "1987-05",
            country = "GB",
            registeredOn = "1987-06-01",
            memberId = await app.GivenMemberAsync("An owner"),
            reference = "V-1",
            registration = "ABC 1",
            chassis = "CHASSIS0001",
            storage = "unheated",
            declaredPerYear = Mi(2000),
            season = new { from = "04-01", to = "10-31" },
            goneOn = "2026-10-01",
            notes = "Two keys.",
            heatAgeing = Heat("A paper", energy: 0.9m),
        }),
        Required("name", "Red saloon"),

        // The distance of a year is shown in the vehicle's unit.
        Required("distanceUnit", "km") with { Follows = ["declaredPerYear"] },
        Defaulted("kind", "caravan", "car"),
        Optional("built", "1988"),
        Optional("country", "DE"),
        Optional("registeredOn", "1987-07-01"),
        Optional("memberId", Guid.Empty) with { OtherRefused = "no-such-member" },
        Optional("reference", "V-2"),
        Optional("registration", "ABC 2"),
        Optional("chassis", "CHASSIS0002"),
        Defaulted("storage", "heated", "unknown"),
        Optional("declaredPerYear", Mi(3000)),
        Required("declaredPerYear/value", 2500),
        Optional("season", new { from = "05-01", to = "09-30" }),
        Required("season/to", "11-30"),
        Optional("goneOn", "2026-11-01"),
        Optional("notes", "One key."),
        Optional("heatAgeing", Heat("Another paper", energy: 0.8m)),
        Required("heatAgeing/activationEnergy", 1.1m),
        Required("heatAgeing/source", "A third paper"),
        Defaulted("heatAgeing/spread", 0.2m, 0),
        Defaulted("heatAgeing/referenceCelsius", 30, 20),
        Defaulted("heatAgeing/counts", false, false));

    private static PatchExample OdometerReading => new(
        "/v1/vehicles/{vehicleId}/odometer-readings/{id}",
        async app =>
        {
            var car = $"/v1/vehicles/{await app.GivenVehicleAsync()}";
            await app.PostOk($"{car}/instruments", new { label = "second", unit = "mi", digits = 6 });
            return await MadeAsync(
                app, $"{car}/odometer-readings",
                new { on = "2024-05-01", value = 48210, unit = "mi", instrument = "second", notedBy = "An owner" });
        },
        Required("on", "2024-06-01"),
        Required("value", 48211),
        Required("unit", "km") with { OtherRefused = "wrong-unit" },
        Fixed("instrument", "odometer") with { NullRefused = "fixed", Place = "instrumentId" },
        Optional("notedBy", "A friend"));

    private static PatchExample Instrument => new(
        "/v1/vehicles/{vehicleId}/instruments/{id}",
        async app => await MadeAsync(
            app, $"/v1/vehicles/{await app.GivenVehicleAsync()}/instruments",
            new { label = "second", unit = "km", digits = 6, fittedOn = "1999-01-01", removedOn = "2020-01-01" }),
        Required("label", "third"),
        Required("unit", "mi"),
        Required("digits", 5),
        Optional("fittedOn", "2000-01-01"),
        Optional("removedOn", "2021-01-01"));

    private static PatchExample HourReading => new(
        "/v1/vehicles/{vehicleId}/hour-readings/{id}",
        async app => await MadeAsync(
            app, $"/v1/vehicles/{await app.GivenVehicleAsync()}/hour-readings",
            new { on = "2024-05-01", hours = 1250.5m, notedBy = "An owner" }),
        Required("on", "2024-06-01"),
        Required("hours", 1251.5m),
        Optional("notedBy", "A friend"));

    private static PatchExample StandingPeriod => new(
        "/v1/vehicles/{vehicleId}/standing-periods/{id}",
        async app => await MadeAsync(
            app, $"/v1/vehicles/{await app.GivenVehicleAsync()}/standing-periods",
            new { from = "2024-11-01", to = "2025-03-31", name = "Winter" }),
        Required("from", "2024-10-01"),
        Optional("to", "2025-04-30"),
        Optional("name", "A long winter"));

    private static PatchExample PlannedTrip => new(
        "/v1/vehicles/{vehicleId}/planned-trips/{id}",
        async app => await MadeAsync(
            app, $"/v1/vehicles/{await app.GivenVehicleAsync()}/planned-trips",
            new { from = "2027-05-01", distance = Mi(900), to = "2027-05-09", name = "To the sea" }),
        Required("from", "2027-05-02"),
        Required("distance", Mi(950)),
        Optional("to", "2027-05-10") with { Without = "2027-05-01" }, // One day, and it is shown.
        Optional("name", "To the hills"));

    private static PatchExample Temperature => new(
        "/v1/vehicles/{vehicleId}/temperatures/{id}",
        async app => await MadeAsync(
            app, $"/v1/vehicles/{await app.GivenVehicleAsync()}/temperatures",
            new { from = "2024-06-01", celsius = 24.5m, to = "2024-08-31", name = "Summer" }),
        Required("from", "2024-06-02"),
        Required("celsius", 25.5m),
        Optional("to", "2024-09-01"),
        Optional("name", "A hot summer"));

    private static PatchExample UsualDistance => new(
        "/v1/usual-distances/{id}",
        async app => await MadeAsync(
            app, "/v1/usual-distances", new { kind = "motorcycle", perYear = Mi(1500), note = "Asked at a meeting." }),
        Fixed("kind", "trailer"),
        Required("perYear", Mi(1600)),
        Optional("note", "Asked again."));

    private static PatchExample ServiceTask => new(
        "/v1/service-tasks/{id}",
        async app => await MadeAsync(
            app, $"/v1/vehicles/{await app.GivenVehicleAsync()}/service-tasks",
            new
            {
                partKind = "engine-oil",
                label = "Oil and filter",
                reference = "T-1",
                notes = "Four litres.",
                lastDone = new { on = "2024-05-01", odometer = Mi(48210), notedBy = "An owner", hours = 1250 },
            }),
        Required("partKind", "gearbox-oil"),
        Optional("label", "Oil alone"),
        Optional("reference", "T-2"),
        Optional("notes", "Five litres."),
        Fixed("lastDone", new { on = "2025-05-01" }) with { NullRefused = null, NullKeeps = true });

    private static PatchExample ServiceRecord => new(
        "/v1/service-tasks/{id}/records/{recordId}",
        async app => await MadeAsync(
            app, $"/v1/service-tasks/{await app.GivenServiceTask(await app.GivenVehicleAsync())}/records",
            new { on = "2024-05-01", odometer = Mi(48210), notedBy = "An owner", notes = "Clean.", hours = 1250.5m }),
        Required("on", "2024-06-01"),
        Optional("odometer", Mi(48211)),
        Optional("notedBy", "A friend"),
        Optional("notes", "Dirty."),
        Optional("hours", 1251.5m));

    private static object Heat(string source, decimal energy) =>
        new { activationEnergy = energy, source, spread = 0.1m, referenceCelsius = 25, counts = true };

    private static async Task<string> MadeAsync(TestApp app, string path, object body)
    {
        var response = await app.Post(path, body);
        Assert.True(
            response.IsSuccessStatusCode,
            $"POST {path} {JsonSerializer.Serialize(body)}: {await response.Content.ReadAsStringAsync()}");
        return response.Headers.Location!.OriginalString;
    }
}
