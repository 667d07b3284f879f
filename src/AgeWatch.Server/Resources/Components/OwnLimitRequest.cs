using System.ComponentModel;
using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A limit of one's own. Several numbers mean whichever comes first.</summary>
[OptionalMembers]
internal sealed record OwnLimitRequest : IChecked
{
    public required LimitLevel Level { get; init; }

    /// <summary>Where the number comes from.</summary>
    public required Tag Tag { get; init; }

    /// <summary>What months, distance and hours count from; not with lastDay.</summary>
    public required AgeAnchor? From { get; init; }

    [Range(1, 1200)]
    public required int? Months { get; init; }

    public required WireDistance? Distance { get; init; }

    /// <summary>Running hours.</summary>
    [Range(0, 1_000_000, MinimumIsExclusive = true)]
    public required decimal? Hours { get; init; }

    /// <summary>The last permitted day, as printed on the part; alone.</summary>
    public required DateOnly? LastDay { get; init; }

    /// <summary>Document and place: the label, the page, the law. Law, label, maker and standard want it.</summary>
    [StringLength(200, MinimumLength = 3), OneLine]
    public required string? Reference { get; init; }

    /// <summary>Who read or set it; a rule of one's own wants it.</summary>
    [StringLength(200), OneLine]
    public required string? NotedBy { get; init; }

    /// <summary>Which day ends the months: the day itself, or the end of its month or year.</summary>
    [DefaultValue(EndRule.Day)]
    public required EndRule EndRule { get; init; } = EndRule.Day;

    /// <summary>A law bites from this day.</summary>
    public required DateOnly? ValidFrom { get; init; }

    /// <summary>Why a rule of one's own was set; with the tag own only.</summary>
    [StringLength(500, MinimumLength = 3), OneLine]
    public required string? Reason { get; init; }

    /// <summary>When a rule of one's own is looked at again, at most 36 months ahead; with the tag own only.</summary>
    public required DateOnly? ReviewOn { get; init; }

    public void Check(FieldFaults faults) => faults.Add(LimitRecord.Check(new()
    {
        Tag = Tag,
        From = From,
        Months = Months,
        Distance = Distance?.Value,
        Hours = Hours,
        LastDay = LastDay,
        EndRule = EndRule,
        ValidFrom = ValidFrom,
        Reference = Reference,
        NotedBy = NotedBy,
        Reason = Reason,
        ReviewOn = ReviewOn,
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
        Reason = Reason,
        ReviewOn = ReviewOn,
    };

    public static OwnLimitRequest Of(OwnLimit l) => new()
    {
        Level = l.Level,
        Tag = l.Tag,
        From = l.LastDay is null ? l.Anchor : null,
        Months = l.Months,
        Distance = OwnLimitReply.Shown(l),
        Hours = FittingDistances.Hours(l.Hours),
        LastDay = l.LastDay,
        Reference = l.Reference,
        NotedBy = l.NotedBy,
        EndRule = l.EndRule,
        ValidFrom = l.ValidFrom,
        Reason = l.Reason,
        ReviewOn = l.ReviewOn,
    };

    public void WriteTo(OwnLimit l)
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
        l.Reason = Reason;
        l.ReviewOn = ReviewOn;
    }
}
