namespace AgeWatch.Core.Due;

/// <summary>A rule that makes a part or task due, with the place its number comes from.</summary>
/// <remarks>
/// One limit may carry several numbers (months and distance): whichever comes first. Several limits with the same
/// level and the same clock stand against each other by <see cref="Tag"/>; see <see cref="Precedence"/>.
/// </remarks>
public sealed record Limit
{
    public required LimitLevel Level { get; init; }

    /// <summary>What <see cref="Months"/>, <see cref="Distance"/> and <see cref="Hours"/> count from; unused with <see
    /// cref="LastDay"/>.</summary>
    public AgeAnchor From { get; init; }

    /// <summary>Whole months from the anchor, more than zero.</summary>
    public int? Months { get; init; }

    /// <summary>Distance from the anchor, more than zero.</summary>
    public Distance? Distance { get; init; }

    /// <summary>The unit <see cref="Distance"/> was given in; it is shown back in it.</summary>
    public DistanceUnit DistanceUnit { get; init; }

    /// <summary>Running hours from the anchor, more than zero.</summary>
    public decimal? Hours { get; init; }

    /// <summary>The last permitted day, as printed: the limit is reached on the day after.</summary>
    public DateOnly? LastDay { get; init; }

    public EndRule EndRule { get; init; }

    /// <summary>The work is done again every so often: the last service or lawful test starts the count anew.</summary>
    public bool Repeats { get; init; }

    public required Tag Tag { get; init; }

    /// <summary>Id or text of the source; null for common practice.</summary>
    public string? Reference { get; init; }

    /// <summary>Who entered it; null for the catalogue's own.</summary>
    public string? NotedBy { get; init; }

    /// <summary>Why a rule of one's own was set; null: nobody said, or it is none.</summary>
    public string? Reason { get; init; }

    /// <summary>From this day on a rule of one's own beats nothing and is due to be looked at again.</summary>
    public DateOnly? ReviewOn { get; init; }

    /// <summary>A law bites from this day; null: it always has. Before it the limit cannot be reached.</summary>
    public DateOnly? ValidFrom { get; init; }

    /// <summary>Last day on which a law was in force; what would be reached after it does not count. Null: still in
    /// force.</summary>
    public DateOnly? ValidUntil { get; init; }

    /// <param name="months">Whole months, more than zero.</param>
    public static Limit Age(
        LimitLevel level, AgeAnchor from, int months, Tag tag, string? reference = null,
        EndRule endRule = EndRule.Day) =>
        new() { Level = level, From = from, Months = months, Tag = tag, Reference = reference, EndRule = endRule };

    /// <param name="value">In <paramref name="unit"/>, more than zero.</param>
    public static Limit ByDistance(
        LimitLevel level, AgeAnchor from, decimal value, DistanceUnit unit, Tag tag, string? reference = null) =>
        new()
        {
            Level = level,
            From = from,
            Distance = Core.Distance.Of(value, unit),
            DistanceUnit = unit,
            Tag = tag,
            Reference = reference,
        };

    /// <param name="hours">Running hours, more than zero.</param>
    public static Limit ByHours(LimitLevel level, AgeAnchor from, decimal hours, Tag tag, string? reference = null) =>
        new() { Level = level, From = from, Hours = hours, Tag = tag, Reference = reference };

    /// <param name="lastDay">The last permitted day.</param>
    public static Limit NotAfter(LimitLevel level, DateOnly lastDay, Tag tag, string? reference = null) =>
        new() { Level = level, From = AgeAnchor.Printed, LastDay = lastDay, Tag = tag, Reference = reference };
}

/// <summary>What a limit measures.</summary>
public enum LimitMeasure
{
    Age,
    Distance,
    Hours,

    /// <summary>A last day printed on the part.</summary>
    PrintedDay,

    /// <summary>What an inspection found.</summary>
    Condition,
}
