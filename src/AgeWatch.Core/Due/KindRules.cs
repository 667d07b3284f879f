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

    /// <summary>Inspect-from, replace-by and stop-use lines. Inspection intervals are not limits; they stand below.</summary>
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

    /// <summary>Shortest credible time from the first sign to the failure, months; halved it bounds the inspection interval.</summary>
    public decimal? WarningMonths { get; init; }

    public ShelfAllowance Shelf { get; init; } = ShelfAllowance.CommonPractice;

    public DeferralPolicy Deferral { get; init; } = DeferralPolicy.Conditional;

    /// <summary>Work done late shortens the next interval by the overrun (14 CFR 91.409(b): due at 100, done at 106, next at 200).</summary>
    public bool DeductOverrun { get; init; }

    public IReadOnlyList<Threshold> Thresholds { get; init; } = [];
}

/// <summary>How long a part of this kind can have lain on a shelf before it was fitted.</summary>
/// <param name="Months">Whole months. Without a mark a part is taken to be this much older than the day it was fitted.</param>
/// <param name="Excess">What follows when mark and fitted day prove a longer storage.</param>
public sealed record ShelfAllowance(
    int Months, Tag Tag, string? Reference = null, StorageExcess Excess = StorageExcess.Nothing)
{
    /// <summary>Five years, common practice, no source.</summary>
    public static ShelfAllowance CommonPractice { get; } = new(60, Tag.Practice);
}

public enum StorageExcess
{
    /// <summary>The age from manufacture already tells.</summary>
    Nothing,

    /// <summary>It should not have been fitted: due from the day it was.</summary>
    RejectAtFitting,

    /// <summary>The clock that starts at fitting starts at manufacture instead.</summary>
    CountFromManufacture,
}
