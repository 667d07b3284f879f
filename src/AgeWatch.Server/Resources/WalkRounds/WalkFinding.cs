using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Components;

namespace AgeWatch.Server.Resources.WalkRounds;

internal enum WalkOutcome
{
    /// <summary>It is there; what was read and seen of it is said.</summary>
    Seen,

    /// <summary>It is not on the vehicle.</summary>
    Absent,

    /// <summary>It could not be seen: nothing gets better by that.</summary>
    CouldNotSee,

    /// <summary>What is recorded of the kind is all there is.</summary>
    NoOthers,
}

/// <summary>What was seen of its condition on the day of the walk.</summary>
internal sealed record WalkFinding(
    FindingGrade Grade,
    [StringLength(200, MinimumLength = 1), OneLine] string? Sign = null,
    WireMeasurement? Measured = null,
    [StringLength(4000)] string? Note = null)
{
    public FindingRequest Request(DateOnly on, string? by) => new(on, Grade, Sign, Measured, Note, by);
}
