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

    public static DigestLine BrakeHoses { get; } = new()
    {
        SubjectId = new Guid("01890000-0000-7000-8000-0000000000a1"),
        Vehicle = "Blue van",
        Action = "Do not use Blue van before its front brake hoses are replaced.",
        Why = "made in January 1996 at the earliest; stop-use limit of 180 months from manufacture, reached on "
            + "2011-01-10.",
        Tag = Tag.Practice,
        Evidence = "mark \"10/1/96\", read 2024-05-01; it reads as 1996-01-10 or 1996-10-01, and the earlier counts.",
        Hazard = HazardClass.Catastrophic,
        State = DueState.StopUse,
        Certainty = Certainty.Certain,
        Force = Force.Mandatory,
        Due = new DateSpan(new(2011, 1, 10), new(2011, 10, 1)),
        Life = new LifeLine(
            new DateSpan(new(1996, 1, 10), new(1996, 10, 1)), new DateSpan(new(2011, 1, 10), new(2011, 10, 1)), Today),
        Owner = null,
        Question = "Was the hose sold in the USA? Then the mark is month first.",
        DeferredUntil = null,
        VehicleLink = new Uri("https://club.example/look/vehicle1"),
        Reference = null,
    };

    public static DigestLine Tyres { get; } = new()
    {
        SubjectId = new Guid("01890000-0000-7000-8000-0000000000a2"),
        Vehicle = "Red coupé",
        Action = "Replace the tyres (all four) on Red coupé.",
        Why = "made in the week from 2014-07-06; limit of 120 months from manufacture, reached on 2024-07-06.",
        Tag = Tag.Standard,
        Evidence = "mark \"2714\", read 2025-03-02.",
        Hazard = HazardClass.Catastrophic,
        State = DueState.Overdue,
        Certainty = Certainty.Certain,
        Force = Force.Mandatory,
        Due = new DateSpan(new(2024, 7, 6), new(2024, 7, 12)),
        Life = new LifeLine(
            new DateSpan(new(2014, 7, 6), new(2014, 7, 12)), new DateSpan(new(2024, 7, 6), new(2024, 7, 12)), Today),
        Owner = null,
        Question = null,
        DeferredUntil = null,
        VehicleLink = new Uri("https://club.example/look/vehicle2"),
        Reference = null,
    };

    public static DigestLine TimingBelt { get; } = new()
    {
        SubjectId = new Guid("01890000-0000-7000-8000-0000000000a3"),
        Vehicle = "Red coupé",
        Action = "Plan to replace the timing belt on Red coupé by 2026-12-20, or at 61200 mi.",
        Why = "fitted 2020-12-20; limit of 72 months from fitting or 60000 mi; the projection of the early day gives "
            + "2027-03-02.",
        Tag = Tag.Maker,
        Evidence = "invoice of 2020-12-20.",
        Hazard = HazardClass.Critical,
        State = DueState.DueSoon,
        Certainty = Certainty.Possible,
        Force = Force.Mandatory,
        Due = new DateSpan(new(2026, 12, 20), new(2027, 4, 30)),
        Life = new LifeLine(DateSpan.Day(new(2020, 12, 20)), new DateSpan(new(2026, 12, 20), new(2027, 4, 30)), Today),
        Owner = null,
        Question = null,
        DeferredUntil = null,
        VehicleLink = new Uri("https://club.example/look/vehicle2"),
        Reference = null,
    };

    public static DigestLine FuelHose { get; } = new()
    {
        SubjectId = new Guid("01890000-0000-7000-8000-0000000000a4"),
        Vehicle = "Old trailer",
        Action = "Find out how old the low-pressure fuel hose on Old trailer is.",
        Why = "nothing tells its age, and the trailer's own year is not known.",
        Tag = null,
        Evidence = null,
        Hazard = HazardClass.Catastrophic,
        State = DueState.Unknown,
        Certainty = Certainty.Certain,
        Force = Force.Recommended,
        Due = null,
        Life = null,
        Owner = null,
        Question = "What does the print along the hose say? A photo will do.",
        DeferredUntil = null,
        VehicleLink = new Uri("https://club.example/look/vehicle3"),
        Reference = null,
    };

    public static DigestLine Coolant { get; } = new()
    {
        SubjectId = new Guid("01890000-0000-7000-8000-0000000000a5"),
        Vehicle = "Blue van",
        Action = "Change the coolant of Blue van, or decide again.",
        Why = "last changed 2021-05-01; limit of 60 months from service, reached on 2026-05-01.",
        Tag = Tag.Practice,
        Evidence = "service record of 2021-05-01.",
        Hazard = HazardClass.Marginal,
        State = DueState.Overdue,
        Certainty = Certainty.Certain,
        Force = Force.Recommended,
        Due = DateSpan.Day(new(2026, 5, 1)),
        Life = null,
        Owner = null,
        Question = null,
        DeferredUntil = new(2026, 12, 1),
        VehicleLink = new Uri("https://club.example/look/vehicle1"),
        Reference = null,
    };

    public static DigestContent Full { get; } = new()
    {
        Club = "Old Iron Club",
        Recipient = "Bob Example",
        LocalDate = Today,
        RuleVersion = "catalogue 1",
        Lines = [BrakeHoses, Tyres, TimingBelt],
        Unknowns = [FuelHose],
        DeferralsEnding = [Coolant],
        MovedOff = ["Battery of Red coupé: replaced 2026-11-20."],
        HeldBack = 4,
        Cautions = [
                new(
                    "Brakes",
                    "If unsure, stop. Fluid once drained is waste; opened bottles do not keep; never mix silicone, "
                        + "mineral and glycol. Prove a firm pedal and a low-speed stop before the road."),
                new(
                    "Lifting",
                    "A jack lifts; stands on firm level ground hold. Chock wheels, test by pushing before going under, "
                        + "never under a car on a jack alone."),
            ],
        PreviousRuleVersion = "catalogue 0",
        Troubles = null,
        ListLink = new Uri("https://club.example/look/list"),
        UnsubscribeLink = new Uri("https://club.example/v1/unsubscribe/t0ken"),
        HeldBackGravest = 0,
    };
}
