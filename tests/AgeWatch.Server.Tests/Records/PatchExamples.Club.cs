using System.Text.Json.Nodes;
using AgeWatch.Server.Tests.Components;
using static AgeWatch.Server.Tests.Records.PatchMember;

namespace AgeWatch.Server.Tests.Records;

internal static partial class PatchExamples
{
    private static PatchExample Member => new(
        "/v1/members/{id}",
        async app => await MadeAsync(app, "/v1/members", new
        {
            name = "An officer",
            email = "officer@club.example",
            officer = true,
            reference = "M-1",
            digestRhythm = "weekly",
            digestWeekday = "friday",
            distanceUnit = "mi",
            pausedUntil = "2027-01-01",
        }),
        Required("name", "A former officer"),

        // Links sent to the old address open nothing any more.
        Optional("email", "former@club.example") with { Follows = ["linksRevokedAt"] },
        Defaulted("officer", false, false),
        Optional("reference", "M-2"),
        Defaulted("digestRhythm", "never", "nightly"),
        Defaulted("digestWeekday", "sunday", "monday"),
        Defaulted("distanceUnit", "km", "km"),
        Optional("pausedUntil", "2027-02-01"));

    private static PatchExample Convention => new(
        "/v1/mark-conventions/{key}",
        async app =>
        {
            var address = await MadeAsync(app, "/v1/mark-conventions", new
            {
                key = "south-works",
                name = "South works",
                sourceNote = "Told by a foreman.",
                pattern = @"S(?<year>\d{4})-X",
                examples = new[] { new { mark = "S1986-X", means = new[] { "1986" }, observed = "2024-05-01" } },
                kind = "expiry",
                tyreWeeks = true,
                years = "1960-01-01/1999-12-31",
            });

            // A first change, so that an event says what was stored.
            Assert.Equal(200, (int)(await app.Patch(address, new { name = "South works, web" })).StatusCode);
            return address;
        },
        Fixed("key", "east-works") with { Place = "stored/key" },
        Stored(Required("name", "South works, flange"), "name"),
        Stored(Required("sourceNote", "Told by another."), "source"),
        Stored(Required("pattern", @"S(?<year>\d\d\d\d)-X"), "readsAs"),
        Stored(
            Required("examples", new[] { new { mark = "S1987-X", means = new[] { "1987" }, observed = "2024-06-01" } }),
            "examples", "looksLike", "parts"),
        Stored(Defaulted("kind", "manufacture", "manufacture"), "kind"),
        Stored(Defaulted("tyreWeeks", false, false)),
        Stored(Optional("years", "1970-01-01/1999-12-31"), "usedFrom", "usedUntil"))
    {
        // Not all that was sent is shown at its address; the event of a change says it whole.
        SeeAsync = async (app, address) =>
        {
            var shown = JsonObject.Create(await app.Read(address))!;
            var events = (await app.Read("/v1/events?type=mark-convention.changed&limit=500")).Items();
            return shown.With("stored", JsonObject.Create(events[^1].GetProperty("data").GetProperty("after"))!);
        },
    };

    private static PatchExample SubscriptionToVehicle => new(
        "/v1/subscriptions/{id}",
        async app => await MadeAsync(app, "/v1/subscriptions", new
        {
            memberId = await app.GivenMemberAsync("A reader"),
            vehicleId = await app.GivenVehicleAsync(),
            leastHazard = "critical",
            rhythm = "weekly",
            weekday = "friday",
            pausedUntil = "2027-01-01",
            leastState = "overdue",
        }),
        Fixed("memberId", Guid.Empty),
        Optional("vehicleId", Guid.Empty) with { OtherRefused = "no-such-vehicle", NullRefused = "one-of" },
        Defaulted("wholeClub", true, false) with { IsFilled = false, OtherRefused = "one-of" },
        Defaulted("leastHazard", "catastrophic", "negligible"),
        Defaulted("rhythm", "never", "nightly"),
        Defaulted("weekday", "sunday", "monday"),
        Optional("pausedUntil", "2027-02-01"),
        Defaulted("leastState", "stop-use", "due-soon"));

    private static PatchExample SubscriptionToClub => new(
        "/v1/subscriptions/{id}",
        async app => await MadeAsync(app, "/v1/subscriptions", new
        {
            memberId = await app.GivenMemberAsync("A reader"),
            wholeClub = true,
            leastHazard = "critical",
            rhythm = "weekly",
            weekday = "friday",
            pausedUntil = "2027-01-01",
            leastState = "overdue",
        }),
        Optional("vehicleId", Guid.Empty) with { IsFilled = false, OtherRefused = "one-of" },
        Defaulted("wholeClub", false, false) with { OtherRefused = "one-of", NullRefused = "one-of" },
        Optional("pausedUntil", "2027-02-01"));

    private static PatchExample Webhook => new(
        "/v1/webhooks/{id}",
        async app => await MadeAsync(app, "/v1/webhooks", new
        {
            name = "A chat",
            url = "https://chat.example/hook",
            eventTypes = new[] { "due.changed" },
            enabled = false,
            vehicleId = await app.GivenVehicleAsync(),
            leastHazard = "critical",
            leastState = "overdue",
        }),
        Required("name", "Another chat"),
        Required("url", "https://chat.example/other"),
        Optional("eventTypes", new[] { "webhook.disabled" }) with { Without = Array.Empty<string>() },

        // When and why it was switched off.
        Defaulted("enabled", true, true) with { Follows = ["disabledAt", "disabledReason"] },
        Optional("vehicleId", Guid.Empty) with { OtherRefused = "no-such-vehicle" },
        Defaulted("leastHazard", "catastrophic", "negligible"),
        Defaulted("leastState", "stop-use", "in-life"));

    private static PatchMember Stored(PatchMember member, params string[] shown) =>
        member with { Place = $"stored/{member.Name}", Follows = shown };
}
