using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>A decision to run past a limit. It changes what is asked of people, never the state.</summary>
public sealed record Deferral
{
    public required string Reason { get; init; }

    public required string Person { get; init; }

    public DateOnly? DecidedOn { get; init; }

    /// <summary>The last day it holds.</summary>
    public required DateOnly UntilOn { get; init; }

    /// <summary>It ends when the odometer shows this; null: by the day only.</summary>
    public ShownDistance? UntilShown { get; init; }
}

public enum DeferralStanding
{
    None,

    /// <summary>It holds on the day asked.</summary>
    Running,

    /// <summary>It ended by itself.</summary>
    Ended,

    /// <summary>The kind may never be put off, so it counts for nothing.</summary>
    Refused,
}
