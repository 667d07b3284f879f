using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.Due;

/// <summary>Everything the due answer needs to know of a part kind.</summary>
public sealed record KindRules
{
    public required string Key { get; init; }

    /// <summary>As a person says it; null: the key is shown.</summary>
    public string? Name { get; init; }

    public required HazardClass Hazard { get; init; }

    /// <summary>What the failure does, one line.</summary>
    public string? Warning { get; init; }

    /// <summary>Inspect-from, replace-by and stop-use lines. Inspection intervals are not limits; they stand
    /// below.</summary>
    public IReadOnlyList<Limit> Limits { get; init; } = [];

    /// <summary>What the kind's age counts from when a limit does not say otherwise.</summary>
    public AgeAnchor Clock { get; init; }

    /// <summary>From the inspect-from age on, look at least this often. Whole months, more than zero.</summary>
    public int? InspectEveryMonths { get; init; }

    /// <summary>Look again after this distance.</summary>
    public Distance? InspectEvery { get; init; }

    /// <summary>The tag of both inspection intervals.</summary>
    public Tag InspectTag { get; init; } = Tag.Practice;

    public string? InspectReference { get; init; }

    /// <summary>Shortest credible time from the first sign to the failure, months; halved it bounds the inspection
    /// interval.</summary>
    public decimal? WarningMonths { get; init; }

    /// <summary>Without a mark a part is taken to be up to this many months older than the day it was bought or
    /// fitted.</summary>
    public TaggedNumber Shelf { get; init; } = FiveYears;

    /// <summary>
    /// Longest storage before fitting, months; null: none known. Old stock counts from manufacture where its clock
    /// starts at fitting; where it starts at manufacture it should not have been fitted, and is due from that day.
    /// </summary>
    public TaggedNumber? StorageLimit { get; init; }

    /// <summary>The first year in which such a part was made; null: as old as cars are.</summary>
    public FirstMade? FirstMade { get; init; }

    /// <summary>It is not made for a car and can be older than the one it is found in.</summary>
    public bool FitsAnyCar { get; init; }

    /// <summary>Service or a fill can make it good again; false: it is only ever thrown away.</summary>
    public bool IsRenewable { get; init; } = true;

    /// <summary>Happenings after which it is not used again.</summary>
    public IReadOnlyList<LifeEvent> EndedBy { get; init; } = [];

    public DeferralRule Deferral { get; init; } = DeferralRule.Conditional;

    public IReadOnlyList<Threshold> Thresholds { get; init; } = [];

    private static readonly TaggedNumber FiveYears = new() { Value = 60, Tag = Tag.Practice, Reference = null };

    /// <summary>The rules of a kind of the catalogue.</summary>
    public static KindRules From(PartKind kind, PartCatalogue catalogue) => new()
    {
        Key = kind.Key,
        Name = kind.Name,
        Hazard = kind.Hazard.Class,
        Warning = kind.Hazard.Why,
        Limits = [.. kind.Limits.Select(limit => new Limit
        {
            Level = limit.Level,
            From = limit.Anchor,
            Months = limit.Months,
            Distance = limit.Kilometres is { } km ? new Distance(km) : null,
            Hours = limit.Hours,
            EndRule = limit.End,
            Repeats = limit.Repeats,
            Tag = limit.Tag,
            Reference = limit.Reference,
        })],
        Clock = kind.Clock,
        InspectEveryMonths = kind.Inspection.Months.Value,
        InspectTag = kind.Inspection.Months.Tag,
        InspectReference = kind.Inspection.Months.Reference,
        InspectEvery = kind.Inspection.Kilometres is { } distance ? new Distance(distance.Value) : null,
        Shelf = kind.ShelfMonths,
        StorageLimit = kind.StorageLimitMonths,
        FirstMade = kind.FirstMade,
        FitsAnyCar = kind.FitsAnyCar,
        IsRenewable = kind.Form == PartForm.ServiceTask
            || kind.Task is not (TaskType.Discard or TaskType.InspectBeforeFit or TaskType.RunToFailure),
        EndedBy = kind.EndedBy,
        Deferral = kind.Deferral,
        Thresholds = [.. catalogue.ThresholdsFor(kind.Key)],
    };
}
