using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using static AgeWatch.Server.Tests.Components.Given;
using static AgeWatch.Server.Tests.Records.PatchMember;

namespace AgeWatch.Server.Tests.Records;

internal static partial class PatchExamples
{
    private static PatchExample Component => new(
        "/v1/components/{id}",
        async app => await MadeAsync(
            app, $"/v1/vehicles/{await app.GivenVehicleAsync()}/components",
            new
            {
                partKind = "brake-hose-flexible",
                position = "front left",
                original = true,
                maker = "A maker",
                partNumber = "PN 1",
                lot = "L 1",
                reference = "C-1",
                notes = "Dry.",
                evidence = new object[]
                {
                    new { kind = "mark", text = "10/1/86", convention = "fmvss106-hose", on = "2024-05-01" },
                    new { kind = "fitted", on = "1990-04-02", odometer = Mi(31200), hours = 900, notedBy = "An owner" },
                },
            }),
        Required("partKind", "radiator-hose"),

        // The fitting says where it is.
        Optional("position", "front right") with { Follows = ["fitting/position"] },
        Defaulted("original", false, false),
        Optional("maker", "Another maker"),
        Optional("partNumber", "PN 2"),
        Optional("lot", "L 2"),
        Optional("reference", "C-2"),
        Optional("notes", "Damp."),
        Fixed("evidence", new[] { new { kind = "document", on = "2020-01-01" } }) with
        {
            NullRefused = null,
            NullKeeps = true,
        });

    private static PatchExample Evidence => new(
        "/v1/components/{id}/evidence/{evidenceId}",
        async app => await MadeAsync(
            app,
            $"/v1/components/{await app.GivenComponent(await app.GivenVehicleAsync(), "tyre-road")}/evidence",
            new
            {
                kind = "mark",
                text = "319",
                convention = "tin-wwy",
                on = "2024-05-01",
                notedBy = "An owner",
                photo = new { url = "https://photos.example/1", sha256 = new string('a', 64) },
                triangle = true,
            }),
        Optional("convention", "tyre-roman-quarter"),
        Optional("triangle", false))
    {
        // The mark read in another way is a piece of evidence of its own.
        Moves = ["id", "recordedAt"],
    };

    private static PatchExample Fitting => new(
        "/v1/components/{id}/fittings/{fittingId}",
        async app =>
        {
            var part = $"/v1/components/{(await app.PostOk(
                $"/v1/vehicles/{await app.GivenVehicleAsync()}/components",
                new
                {
                    partKind = "radiator-hose",
                    position = "top",
                    evidence = new[]
                    {
                        new { kind = "fitted", on = "2010-04-02", odometer = Mi(31200), hours = 900, notedBy = "Me" },
                    },
                })).Id()}";
            await app.PostOk(
                $"{part}/take-off",
                new { on = "2020-05-01", to = "shelf", odometer = Mi(41200), reason = "Swollen", hours = 1100 }, 200);
            return $"{part}/fittings/{(await app.Read($"{part}/fittings")).Items()[0].Id()}";
        },
        Optional("position", "bottom"),
        Optional("on", "2010-05-02") with { NullRefused = "missing" },
        Optional("odometer", Mi(31300)),
        Optional("takenOffOn", "2020-06-01") with { NullRefused = "missing" },
        Optional("takenOffOdometer", Mi(41300)),
        Optional("takenOffReason", "Cracked"),
        Optional("notedBy", "A friend"),
        Optional("hours", 901.5m),
        Optional("takenOffHours", 1101.5m));

    /// <summary>Numbers of a law that begins to hold on a day; a maker's number; a printed day. No limit may have all
    /// members.</summary>
    private static IEnumerable<PatchExample> LimitsOf(string subjects, Func<TestApp, Task<Guid>> subjectAsync)
    {
        var route = $"/v1/{subjects}/{{id}}/limits/{{limitId}}";
        yield return new(
            route,
            async app => await MadeAsync(app, $"/v1/{subjects}/{await subjectAsync(app)}/limits", new
            {
                level = "stop-use",
                tag = "law",
                from = "fitting",
                months = 60,
                distance = Mi(40000),
                hours = 500.5m,
                reference = "A law",
                notedBy = "An owner",
                endRule = "month-end",
                validFrom = "2001-01-01",
            }),
            Required("level", "replace-by"),
            Required("tag", "maker") with { OtherRefused = "not-together" }, // With validFrom only a law.
            Optional("from", "manufacture") with { NullRefused = "missing" },
            Optional("months", 72) with { NullRefused = "not-together" },
            Optional("distance", Mi(50000)),
            Optional("hours", 600.5m),
            Optional("lastDay", "2030-01-01") with { IsFilled = false, OtherRefused = "not-together" },
            Optional("reference", "Another law") with { NullRefused = "missing" },
            Optional("notedBy", "A friend"),
            Defaulted("endRule", "year-end", "day"),
            Optional("validFrom", "2002-01-01"));
        yield return new(
            route,
            async app => await MadeAsync(app, $"/v1/{subjects}/{await subjectAsync(app)}/limits", new
            {
                level = "inspect-from",
                tag = "maker",
                from = "service",
                months = 12,
                distance = new { value = 15000, unit = "km" },
                hours = 200,
                reference = "Handbook, page 12",
                notedBy = "An owner",
            }),
            Required("level", "stop-use"),
            Required("tag", "practice"),
            Optional("from", "fill") with { NullRefused = "missing" },
            Optional("months", 24));
        yield return new(
            route,
            async app => await MadeAsync(app, $"/v1/{subjects}/{await subjectAsync(app)}/limits", new
            {
                level = "stop-use",
                tag = "label",
                lastDay = "2030-12-31",
                reference = "On the part",
                notedBy = "An owner",
            }),
            Required("level", "replace-by"),
            Required("tag", "maker"),
            Optional("lastDay", "2031-12-31") with { NullRefused = "missing" },
            Optional("reference", "On its box") with { NullRefused = "missing" },
            Optional("notedBy", "A friend"));
        yield return new(
            route,
            async app => await MadeAsync(app, $"/v1/{subjects}/{await subjectAsync(app)}/limits", new
            {
                level = "replace-by",
                tag = "own",
                from = "service",
                months = 12,
                reference = "Club evening",
                notedBy = "An owner",
                reason = "It stands in the dry",
                reviewOn = "2027-06-01",
            }),
            Required("tag", "practice") with { OtherRefused = "not-together" }, // With a reason only an own rule.
            Optional("reference", "Another evening"),
            Optional("notedBy", "A friend") with { NullRefused = "missing" },
            Optional("reason", "It stands in the wet") with { NullRefused = "missing" },
            Optional("reviewOn", "2028-06-01") with { NullRefused = "missing" });
        yield return new(
            route,
            async app => await MadeAsync(app, $"/v1/{subjects}/{await subjectAsync(app)}/limits", new
            {
                level = "replace-by",
                tag = "practice",
                from = "service",
                months = 12,
            }),
            Optional("reason", "It stands in the wet") with { IsFilled = false, OtherRefused = "not-together" },
            Optional("reviewOn", "2028-06-01") with { IsFilled = false, OtherRefused = "not-together" });
    }
}
