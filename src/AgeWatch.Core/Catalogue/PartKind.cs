using System.Text.Json.Serialization;

namespace AgeWatch.Core.Catalogue;

/// <summary>One kind of age-limited part or repeated task, with its default limits. Every number carries its
/// tag.</summary>
/// <remarks>
/// The numbers are the lowest of the precedence local law, label, vehicle maker's figure, published standard, catalogue
/// default.
/// </remarks>
public sealed record PartKind
{
    /// <summary>Unique, lower case with hyphens: <c>brake-hose-flexible</c>.</summary>
    public required string Key { get; init; }

    public required string Name { get; init; }

    /// <summary>The system of the car it belongs to: <c>brakes</c>.</summary>
    public required string System { get; init; }

    /// <summary>One of the kinds that nearly every old car has; false: only some cars have it.</summary>
    public required bool Core { get; init; }

    public required PartForm Form { get; init; }

    public required string Material { get; init; }

    public required PartHazard Hazard { get; init; }

    public required TaskType Task { get; init; }

    public required DeferralRule Deferral { get; init; }

    /// <summary>What its age counts from.</summary>
    public required AgeAnchor Clock { get; init; }

    /// <summary>What can end its life, the foremost first.</summary>
    public required IReadOnlyList<LifeEnd> LimitedBy { get; init; }

    /// <summary>At most one limit in months per level, and at most one in kilometres. Empty of replace-by for kinds
    /// limited by condition alone.</summary>
    public required IReadOnlyList<KindLimit> Limits { get; init; }

    public required KindInspection Inspection { get; init; }

    /// <summary>
    /// How many months a part can have lain in store before the day it was bought or fitted, when no mark tells.
    /// A published storage limit where there is one, else 60 by common practice.
    /// </summary>
    public required TaggedNumber ShelfMonths { get; init; }

    /// <summary>
    /// Longest storage before fitting, in months; null: none known. A part fitted later than this after its
    /// manufacture is old stock: its age counts from manufacture whatever <see cref="Clock"/> says.
    /// </summary>
    public TaggedNumber? StorageLimitMonths { get; init; }

    /// <summary>Null: as old as cars are.</summary>
    public FirstMade? FirstMade { get; init; }

    /// <summary>It is not made for a car and can be older than the one it is found in: a helmet, a jack.</summary>
    public bool FitsAnyCar { get; init; }

    /// <summary>Happenings after which it is not used again until a competent person has passed or replaced
    /// it.</summary>
    public required IReadOnlyList<LifeEvent> EndedBy { get; init; }

    /// <summary>What an inspection looks for.</summary>
    public required IReadOnlyList<string> Signs { get; init; }

    public required KindMark Mark { get; init; }

    /// <summary>Areas of the car to be opened up to reach it. Kinds that share one can share a visit.</summary>
    public required IReadOnlyList<string> Areas { get; init; }

    /// <summary>Closed systems that the work opens. Kinds that share one can share the draining and bleeding.</summary>
    public required IReadOnlyList<string> Opens { get; init; }

    public required LabourHours Labour { get; init; }

    /// <summary>The range of advice met, and where it disagrees.</summary>
    public required string Advice { get; init; }

    public required string Notes { get; init; }

    /// <summary>
    /// References behind the way it fails, its mark or its criterion. They support a number only where the number names
    /// them itself.
    /// </summary>
    public required IReadOnlyList<string> Citations { get; init; }

    /// <summary>Keys of the cautions that work on it calls for, in the order of the catalogue.</summary>
    [JsonIgnore]
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>The first limit of this level that is counted in months; null when there is none.</summary>
    public KindLimit? AgeLimit(LimitLevel level)
    {
        for (var i = 0; i < Limits.Count; i++)
        {
            if (Limits[i].Level == level && Limits[i].Months is not null)
            {
                return Limits[i];
            }
        }

        return null;
    }
}
