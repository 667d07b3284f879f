using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Http;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Components;

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
    [Range(1, 1_000_000)] int? Hours = null,
    DateOnly? LastDay = null,
    [StringLength(500, MinimumLength = 1), OneLine] string? Reference = null,
    [StringLength(200), OneLine] string? NotedBy = null,
    EndRule EndRule = EndRule.Day,
    DateOnly? ValidFrom = null) : IChecked
{
    public void Check(Complaints complaints)
    {
        var counted = Months is not null || Distance is not null || Hours is not null;
        if (!counted && LastDay is null)
        {
            complaints.Add(nameof(Months), "missing", "A limit needs a number: months, distance, hours or lastDay.");
        }

        if (counted && LastDay is not null)
        {
            complaints.Add(
                nameof(LastDay), "not-together",
                "A printed last day is a limit by itself; note the other number as another limit.");
        }

        if (EndRule != EndRule.Day && Months is null)
        {
            complaints.Add(nameof(EndRule), "not-together", "Only months end with a month or a year.");
        }

        if (ValidFrom is not null && (Months is null || Tag != Tag.Law))
        {
            complaints.Add(nameof(ValidFrom), "not-together", "Only a law that counts months begins to hold on a day.");
        }

        if (Distance is { Value: 0 })
        {
            complaints.Add(nameof(Distance), "out-of-range", "Must be more than zero.");
        }

        if (counted && From is null)
        {
            complaints.Add(nameof(From), "missing", "Say what the number counts from.");
        }

        // The other anchors name what an answer found out; nobody can count from them beforehand.
        if (From is AgeAnchor.Inspection or AgeAnchor.Finding || (From == AgeAnchor.Printed && LastDay is null))
        {
            complaints.Add(
                nameof(From), "not-allowed", "Must be one of: manufacture, fitting, fill, service, regulatory.");
        }

        if (LastDay is not null && From is not (null or AgeAnchor.Printed))
        {
            complaints.Add(nameof(From), "not-together", "A printed last day counts from nothing.");
        }
    }

    public static OwnLimitRequest Of(LimitRow l) => new(
        l.Level, l.Tag, l.LastDay is null
            ? l.Anchor
            : null, l.Months, OwnLimitReply.Shown(l), l.Hours, l.LastDay, l.Reference, l.NotedBy, l.EndRule,
            l.ValidFrom);

    public void WriteTo(LimitRow l)
    {
        l.Level = Level;
        l.Tag = Tag;
        l.Anchor = From ?? AgeAnchor.Printed;
        l.Months = Months;
        l.Metres = Distance is { } distance ? (long)decimal.Round(distance.ToDistance().Kilometres * 1000m) : null;
        l.Unit = Distance?.Unit;
        l.Hours = Hours;
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
    int? Hours,
    DateOnly? LastDay,
    string? Reference,
    string? NotedBy,
    EndRule EndRule,
    DateOnly? ValidFrom,
    DateTime CreatedAt)
{
    public static OwnLimitReply Of(LimitRow l) => new(
        l.Id, l.Level, l.Tag, l.LastDay is null
            ? l.Anchor
            : null, l.Months, Shown(l), l.Hours, l.LastDay, l.Reference, l.NotedBy, l.EndRule, l.ValidFrom,
            l.CreatedAt);

    public static WireDistance? Shown(LimitRow l) =>
        l.Metres is { } metres
            ? WireDistance.From(new Distance(metres / 1000m), l.Unit ?? DistanceUnit.Kilometre)
            : null;
}
