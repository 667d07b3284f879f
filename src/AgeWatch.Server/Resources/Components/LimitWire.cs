using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A limit of one's own. Several numbers mean whichever comes first.</summary>
/// <param name="Tag">Where the number comes from.</param>
/// <param name="From">What months, distance and hours count from; not with lastDay.</param>
/// <param name="Hours">Running hours.</param>
/// <param name="EndRule">Which day ends the months: the day itself, or the end of its month or year.</param>
/// <param name="ValidFrom">A law bites from this day.</param>
/// <param name="LastDay">The last permitted day, as printed on the part; alone.</param>
/// <param name="Reference">The label, the page or the law.</param>
/// <param name="NotedBy">Who read it.</param>
internal sealed record OwnLimitRequest(
    LimitLevel Level,
    Tag Tag,
    AgeAnchor? From = null,
    [Range(1, 1200)] int? Months = null,
    WireDistance? Distance = null,
    [Range(0, 1_000_000, MinimumIsExclusive = true)] decimal? Hours = null,
    DateOnly? LastDay = null,
    [StringLength(500, MinimumLength = 1), OneLine] string? Reference = null,
    [StringLength(200), OneLine] string? NotedBy = null,
    EndRule EndRule = EndRule.Day,
    DateOnly? ValidFrom = null) : IChecked
{
    public void Check(Complaints complaints) => complaints.Add(LimitRecord.Check(new()
    {
        Tag = Tag,
        From = From,
        Months = Months,
        Distance = Distance?.Value,
        Hours = Hours,
        LastDay = LastDay,
        EndRule = EndRule,
        ValidFrom = ValidFrom,
    }));

    public Limit ToLimit() => new()
    {
        Level = Level,
        From = From ?? AgeAnchor.Printed,
        Months = Months,
        Distance = Distance?.ToDistance(),
        DistanceUnit = Distance?.Unit ?? DistanceUnit.Kilometre,
        Hours = Hours,
        LastDay = LastDay,
        EndRule = EndRule,
        Tag = Tag,
        Reference = Reference,
        NotedBy = NotedBy,
        ValidFrom = ValidFrom,
    };

    public static OwnLimitRequest Of(LimitRow l) => new(
        l.Level, l.Tag, l.LastDay is null ? l.Anchor : null, l.Months, OwnLimitReply.Shown(l),
        FittingDistances.Hours(l.Hours), l.LastDay, l.Reference, l.NotedBy, l.EndRule, l.ValidFrom);

    public void WriteTo(LimitRow l)
    {
        l.Level = Level;
        l.Tag = Tag;
        l.Anchor = From ?? AgeAnchor.Printed;
        l.Months = Months;
        l.Metres = Distance is { } distance ? (long)decimal.Round(distance.ToDistance().Kilometres * 1000m) : null;
        l.Unit = Distance?.Unit;
        l.Hours = FittingDistances.Thousandths(Hours);
        l.LastDay = LastDay;
        l.EndRule = EndRule;
        l.ValidFrom = ValidFrom;
        l.Reference = Reference;
        l.NotedBy = NotedBy;
    }
}

internal sealed record OwnLimitReply(
    Guid Id,
    LimitLevel Level,
    Tag Tag,
    AgeAnchor? From,
    int? Months,
    WireDistance? Distance,
    decimal? Hours,
    DateOnly? LastDay,
    string? Reference,
    string? NotedBy,
    EndRule EndRule,
    DateOnly? ValidFrom,
    DateTime CreatedAt)
{
    public static OwnLimitReply Of(LimitRow l) => new(
        l.Id, l.Level, l.Tag, l.LastDay is null ? l.Anchor : null, l.Months, Shown(l),
        FittingDistances.Hours(l.Hours), l.LastDay, l.Reference, l.NotedBy, l.EndRule, l.ValidFrom, l.CreatedAt);

    public static WireDistance? Shown(LimitRow l) =>
        l.Metres is { } metres
            ? WireDistance.From(new Distance(metres / 1000m), l.Unit ?? DistanceUnit.Kilometre)
            : null;
}
