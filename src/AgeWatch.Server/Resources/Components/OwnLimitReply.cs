using AgeWatch.Core;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Components;

internal sealed record OwnLimitReply
{
    public required Guid Id { get; init; }

    public required LimitLevel Level { get; init; }

    public required Tag Tag { get; init; }

    public required AgeAnchor? From { get; init; }

    public required int? Months { get; init; }

    public required WireDistance? Distance { get; init; }

    public required decimal? Hours { get; init; }

    public required DateOnly? LastDay { get; init; }

    public required string? Reference { get; init; }

    public required string? NotedBy { get; init; }

    public required EndRule EndRule { get; init; }

    public required DateOnly? ValidFrom { get; init; }

    public required string? Reason { get; init; }

    public required DateOnly? ReviewOn { get; init; }

    public required DateTime CreatedAt { get; init; }

    public static OwnLimitReply Of(OwnLimit l) => new()
    {
        Id = l.Id,
        Level = l.Level,
        Tag = l.Tag,
        From = l.LastDay is null ? l.Anchor : null,
        Months = l.Months,
        Distance = Shown(l),
        Hours = FittingDistances.Hours(l.Hours),
        LastDay = l.LastDay,
        Reference = l.Reference,
        NotedBy = l.NotedBy,
        EndRule = l.EndRule,
        ValidFrom = l.ValidFrom,
        Reason = l.Reason,
        ReviewOn = l.ReviewOn,
        CreatedAt = l.CreatedAt,
    };

    public static WireDistance? Shown(OwnLimit l) =>
        l.Metres is { } metres
            ? WireDistance.From(new Distance(metres / 1000m), l.Unit ?? DistanceUnit.Kilometre)
            : null;
}
