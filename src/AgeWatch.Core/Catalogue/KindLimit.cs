namespace AgeWatch.Core.Catalogue;

/// <summary>One default limit of a part kind: exactly one of months, kilometres and hours.</summary>
public sealed record KindLimit
{
    public required LimitLevel Level { get; init; }

    /// <summary>
    /// What it counts from. Of a regulatory anchor whose day is not known, the earliest of the days that are known is
    /// taken.
    /// </summary>
    public required AgeAnchor Anchor { get; init; }

    public int? Months { get; init; }

    public int? Kilometres { get; init; }

    public int? Hours { get; init; }

    public EndRule End { get; init; }

    /// <summary>The work is done again every so often: once it has been done, the last time starts the count
    /// anew.</summary>
    public bool Repeats { get; init; }

    public required Tag Tag { get; init; }

    /// <summary>Id of the reference that supports the number; null only for common practice.</summary>
    public required string? Reference { get; init; }
}

/// <summary>A number with its source; the unit is said by the member that holds it.</summary>
public sealed record TaggedNumber
{
    public required int Value { get; init; }

    public required Tag Tag { get; init; }

    /// <summary>Id of the reference that supports the number; null only for common practice.</summary>
    public required string? Reference { get; init; }
}

/// <summary>How often a part is looked at, whichever comes first.</summary>
public sealed record KindInspection
{
    /// <summary>Months between two looks.</summary>
    public required TaggedNumber Months { get; init; }

    /// <summary>Kilometres between two looks; null: by time alone.</summary>
    public TaggedNumber? Kilometres { get; init; }
}

/// <summary>Hours of work on a sound car with accessible fasteners; seized ones take 1.5 to 5 times as long (common
/// practice).</summary>
public sealed record LabourHours
{
    public required decimal Low { get; init; }

    public required decimal High { get; init; }

    public required Tag Tag { get; init; }
}
