using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Invented facts for the tests of the due answer.</summary>
internal static class Given
{
    public static DateOnly Day(string text) => DateOnly.ParseExact(text, "yyyy-MM-dd");

    public static DateSpan Span(string first, string last) => new(Day(first), Day(last));

    /// <summary>Numbers as the catalogue's flexible brake hose has them: all common practice.</summary>
    public static KindRules BrakeHose { get; } = new()
    {
        Key = "brake-hose-flexible",
        Hazard = HazardClass.Catastrophic,
        Limits =
        [
            Limit.Age(LimitLevel.InspectFrom, AgeAnchor.Manufacture, 24, Tag.Practice),
            Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 72, Tag.Practice),
        ],
        InspectEveryMonths = 12,
        Deferral = DeferralRule.Never,
    };

    /// <summary>Numbers as the catalogue's road tyre has them.</summary>
    public static KindRules RoadTyre { get; } = new()
    {
        Key = "tyre-road",
        Hazard = HazardClass.Catastrophic,
        Limits =
        [
            Limit.Age(LimitLevel.InspectFrom, AgeAnchor.Manufacture, 60, Tag.Practice),
            Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 72, Tag.Standard, "R-NHTSA08"),
            Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 120, Tag.Standard, "R-NHTSA08"),
        ],
        InspectEveryMonths = 12,
    };

    public static KindRules TimingBelt { get; } = new()
    {
        Key = "timing-belt",
        Hazard = HazardClass.Critical,
        Clock = AgeAnchor.Fitting,
        Limits =
        [
            Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 60, Tag.Practice),
            Limit.ByDistance(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 60_000, DistanceUnit.Kilometre, Tag.Practice),
        ],
        Deferral = DeferralRule.Never,
    };

    public static KindRules EngineOil { get; } = new()
    {
        Key = "engine-oil",
        Hazard = HazardClass.Marginal,
        Clock = AgeAnchor.Fill,
        Limits =
        [
            Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fill, 12, Tag.Practice),
            Limit.ByDistance(LimitLevel.ReplaceBy, AgeAnchor.Fill, 8_000, DistanceUnit.Kilometre, Tag.Practice),
        ],
    };

    /// <summary>A kind with exactly one limit.</summary>
    public static KindRules Kind(params Limit[] limits) =>
        new() { Key = "test-kind", Hazard = HazardClass.Critical, Limits = limits };

    public static VehicleFacts Car(string? builtFirst = "1987-05-01", string? builtLast = "1987-05-31") => new()
    {
        Built = builtFirst is null ? null : Span(builtFirst, builtLast!),
    };

    public static ComponentFacts Part(params Evidence[] evidence) => new() { Evidence = evidence };

    public static Evidence Mark(params DateSpan[] readings) => new()
    {
        Kind = EvidenceKind.Mark,
        Readings = [.. readings.Select(days => new EvidenceReading(days))],
    };

    public static Evidence Expiry(string first, string last) => new()
    {
        Kind = EvidenceKind.Mark,
        Readings = [new(Span(first, last), IsExpiry: true)],
    };

    public static Evidence On(EvidenceKind kind, string day, decimal? km = null) => new()
    {
        Kind = kind,
        On = Day(day),
        Odometer = km is { } value ? Km(day, value) : null,
    };

    public static ShownDistance Km(string day, decimal value, string? instrument = null) =>
        new(Day(day), value, DistanceUnit.Kilometre, instrument);

    public static ShownDistance Miles(string day, decimal value, string? instrument = null) =>
        new(Day(day), value, DistanceUnit.Mile, instrument);

    public static DueAnswer Ask(KindRules kind, DueSubject subject, string asOf, VehicleFacts? vehicle = null) =>
        DueAssessment.Assess(new DueQuestion
        {
            AsOf = Day(asOf),
            Kind = kind,
            Subject = subject,
            Vehicle = vehicle
            ?? Car()
        });
}
