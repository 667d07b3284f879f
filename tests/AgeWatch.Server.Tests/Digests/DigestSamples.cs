using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Digests;

namespace AgeWatch.Server.Tests.Digests;

/// <summary>Invented members and cars.</summary>
internal static class DigestSamples
{
    public static readonly DateOnly Today = new(2026, 11, 25);

    public static readonly string[] HostileTexts =
    [
        "<b>x</b>", "\"><img src=x onerror=1>", "a\u202Egnp.exe", new('n', 300), "🚗 & Söhne", "{{7*7}}",
        "two\r\nlines\u0007", "javascript:alert(1)",
    ];

    public static DigestLine BrakeHoses { get; } = new(
        new Guid("01890000-0000-7000-8000-0000000000a1"),
        "Blue van",
        "Do not use Blue van before its front brake hoses are replaced.",
        "made in January 1996 at the earliest; stop-use limit of 180 months from manufacture, reached on 2011-01-10.",
        Tag.Practice,
        "mark \"10/1/96\", read 2024-05-01; it reads as 1996-01-10 or 1996-10-01, and the earlier counts.",
        HazardClass.Catastrophic,
        DueState.StopUse,
        Certainty.Certain,
        new DateSpan(new(2011, 1, 10), new(2011, 10, 1)),
        new LifeLine(
            new DateSpan(new(1996, 1, 10), new(1996, 10, 1)), new DateSpan(new(2011, 1, 10), new(2011, 10, 1)), Today),
        Question: "Was the hose sold in the USA? Then the mark is month first.",
        VehicleLink: new Uri("https://club.example/look/vehicle1"));

    public static DigestLine Tyres { get; } = new(
        new Guid("01890000-0000-7000-8000-0000000000a2"),
        "Red coupé",
        "Replace the tyres (all four) on Red coupé.",
        "made in the week from 2014-07-06; limit of 120 months from manufacture, reached on 2024-07-06.",
        Tag.Standard,
        "mark \"2714\", read 2025-03-02.",
        HazardClass.Catastrophic,
        DueState.Overdue,
        Certainty.Certain,
        new DateSpan(new(2024, 7, 6), new(2024, 7, 12)),
        new LifeLine(
            new DateSpan(new(2014, 7, 6), new(2014, 7, 12)), new DateSpan(new(2024, 7, 6), new(2024, 7, 12)), Today),
        VehicleLink: new Uri("https://club.example/look/vehicle2"));

    public static DigestLine TimingBelt { get; } = new(
        new Guid("01890000-0000-7000-8000-0000000000a3"),
        "Red coupé",
        "Plan to replace the timing belt on Red coupé by 2026-12-20, or at 61200 mi.",
        "fitted 2020-12-20; limit of 72 months from fitting or 60000 mi; the projection of the early day gives "
            + "2027-03-02.",
        Tag.Maker,
        "invoice of 2020-12-20.",
        HazardClass.Critical,
        DueState.DueSoon,
        Certainty.Possible,
        new DateSpan(new(2026, 12, 20), new(2027, 4, 30)),
        new LifeLine(DateSpan.Day(new(2020, 12, 20)), new DateSpan(new(2026, 12, 20), new(2027, 4, 30)), Today),
        VehicleLink: new Uri("https://club.example/look/vehicle2"));

    public static DigestLine FuelHose { get; } = new(
        new Guid("01890000-0000-7000-8000-0000000000a4"),
        "Old trailer",
        "Find out how old the low-pressure fuel hose on Old trailer is.",
        "nothing tells its age, and the trailer's own year is not known.",
        null,
        null,
        HazardClass.Catastrophic,
        DueState.Unknown,
        Certainty.Certain,
        null,
        Question: "What does the print along the hose say? A photo will do.",
        VehicleLink: new Uri("https://club.example/look/vehicle3"));

    public static DigestLine Coolant { get; } = new(
        new Guid("01890000-0000-7000-8000-0000000000a5"),
        "Blue van",
        "Change the coolant of Blue van, or decide again.",
        "last changed 2021-05-01; limit of 60 months from service, reached on 2026-05-01.",
        Tag.Practice,
        "service record of 2021-05-01.",
        HazardClass.Marginal,
        DueState.Overdue,
        Certainty.Certain,
        DateSpan.Day(new(2026, 5, 1)),
        DeferredUntil: new(2026, 12, 1),
        VehicleLink: new Uri("https://club.example/look/vehicle1"));

    public static DigestContent Full { get; } = new(
        "Old Iron Club",
        "Bob Example",
        Today,
        "catalogue 1",
        [BrakeHoses, Tyres, TimingBelt],
        [FuelHose],
        [Coolant],
        ["Battery of Red coupé: replaced 2026-11-20."],
        4,
        [
            new(
                "Brakes",
                "If unsure, stop. Fluid once drained is waste; opened bottles do not keep; never mix silicone, "
                    + "mineral and glycol. Prove a firm pedal and a low-speed stop before the road."),
            new(
                "Lifting",
                "A jack lifts; stands on firm level ground hold. Chock wheels, test by pushing before going under, "
                    + "never under a car on a jack alone."),
        ],
        PreviousRuleVersion: "catalogue 0",
        ListLink: new Uri("https://club.example/look/list"),
        UnsubscribeLink: new Uri("https://club.example/v1/unsubscribe/t0ken"));
}
