using AgeWatch.Core;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Answers;

/// <param name="Latest">Null: no latest day can be told.</param>
internal sealed record DueDaysReply(DateOnly Earliest, DateOnly? Latest)
{
    public static DueDaysReply? From(DateSpan? span) =>
        span is { } s && s.First != DateOnly.MaxValue
            ? new(s.First, s.Last == DateOnly.MaxValue ? null : s.Last)
            : null;
}

/// <summary>One number of one limit, with the days on which it is reached.</summary>
internal sealed record LimitReply
{
    public required LimitLevel Level { get; init; }

    /// <summary>What it was counted from.</summary>
    public required AgeAnchor Anchor { get; init; }

    public required decimal? Number { get; init; }

    /// <summary>months, km, mi, hours, day or finding.</summary>
    public required string Unit { get; init; }

    /// <summary>Where the number comes from.</summary>
    public required Tag Tag { get; init; }

    /// <summary>mandatory by law, label, maker or standard, by a stop-use level or a bad finding; else
    /// recommended.</summary>
    public required Force Force { get; init; }

    /// <summary>Id or text of the source; null: common practice, no source.</summary>
    public required string? Reference { get; init; }

    /// <summary>Of a rule of one's own: from this day on it beats nothing and is to be looked at again.</summary>
    public required DateOnly? ReviewOn { get; init; }

    /// <summary>The printed day.</summary>
    public required DateOnly? LastDay { get; init; }

    public required LimitStanding Standing { get; init; }

    public required DueDaysReply? CountedFrom { get; init; }

    public required DueDaysReply? Due { get; init; }

    public required DateOnly? Likely { get; init; }

    public static LimitReply From(AssessedLimit l) => new()
    {
        Level = l.Level,
        Anchor = l.Anchor,
        Number = l.Number,
        Unit = l.Unit,
        Tag = l.Tag,
        Force = l.Force,
        Reference = l.Reference,
        ReviewOn = l.Limit.ReviewOn,
        LastDay = l.Limit.LastDay,
        Standing = l.Standing,
        CountedFrom = DueDaysReply.From(l.From),
        Due = DueDaysReply.From(l.Due),
        Likely = l.Likely,
    };
}
