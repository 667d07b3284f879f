namespace AgeWatch.Core.Marks;

/// <summary>A club's own way of reading dates, as written down by its officer.</summary>
public sealed record OwnConventionDraft
{
    /// <summary>Lower-case letters, figures and dashes, at most 64; not the key of a built-in convention.</summary>
    public required string Key { get; init; }

    public required string Name { get; init; }

    /// <summary>Where the knowledge comes from, in the club's words; required.</summary>
    public required string SourceNote { get; init; }

    /// <summary>
    /// A .NET regular expression for the whole cleaned text (upper case, single spaces, ASCII figures), with named
    /// groups from
    /// <see cref="OwnConvention.Groups"/>. No look-around and no back references.
    /// </summary>
    public required string Pattern { get; init; }

    public MarkKind Kind { get; init; } = MarkKind.Manufacture;

    /// <summary>True: weeks run Sunday to Saturday from the first full one, as on tyres; false: ISO 8601.</summary>
    public bool TyreWeeks { get; init; }

    /// <summary>First and last day of use; null for 1900 to 2099.</summary>
    public DateSpan? Years { get; init; }

    /// <summary>At least one: they prove the expression.</summary>
    public required IReadOnlyList<OwnExample> Examples { get; init; }
}

/// <summary>A mark and every span it must come out as.</summary>
/// <param name="Mark">As typed.</param>
/// <param name="Means">All spans, in any order.</param>
/// <param name="Observed">The day it was seen; null for no upper bound.</param>
public sealed record OwnExample(string Mark, IReadOnlyList<DateSpan> Means, DateOnly? Observed = null);

/// <summary>What is wrong with a draft.</summary>
public enum OwnConventionFault
{
    BadKey,
    KeyTaken,
    BadName,
    SourceNoteMissing,
    PatternMissing,
    PatternTooLong,
    PatternInvalid,
    UnknownGroup,
    YearGroupMissing,
    GroupsDoNotMakeADate,
    ExamplesMissing,
    TooManyExamples,

    /// <summary>A worked example does not come out as stated.</summary>
    ExampleFails,
}

/// <param name="Detail">What is wrong, in a sentence.</param>
/// <param name="Example">Index of the failing example; null for the rest.</param>
public sealed record OwnConventionProblem(OwnConventionFault Fault, string Detail, int? Example = null);
