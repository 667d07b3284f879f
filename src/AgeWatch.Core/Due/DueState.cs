namespace AgeWatch.Core.Due;

/// <summary>Where a component or service task stands on a day. Worst first: a smaller value outranks a greater
/// one.</summary>
public enum DueState
{
    /// <summary>A stop-use limit is reached, or a finding was graded unfit.</summary>
    StopUse,

    /// <summary>A replace-by limit is reached, or a finding was graded fail.</summary>
    Overdue,

    /// <summary>There is no basis for a safe answer. Never good: it outranks everything but overdue and
    /// stop-use.</summary>
    Unknown,

    /// <summary>An inspect-from limit or the inspection interval is reached.</summary>
    InspectDue,

    /// <summary>The warning window before the earliest due day has begun.</summary>
    DueSoon,

    /// <summary>No limit is reached or near.</summary>
    InLife,
}

/// <summary>How sure a state is. Possible: only the earliest due day has come; certain: even the latest has.</summary>
public enum Certainty
{
    Possible,
    Certain,
}
