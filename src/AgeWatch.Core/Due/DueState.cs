namespace AgeWatch.Core.Due;

/// <summary>Where a part or task stands; worst first.</summary>
public enum DueState
{
    StopUse,
    Overdue,
    Unknown,
    InspectDue,
    DueSoon,
    InLife,
}

/// <summary>Whether even the latest due day has come, or only the earliest.</summary>
public enum Certainty
{
    Possible,
    Certain,
}

public enum LimitLevel
{
    InspectFrom,
    ReplaceBy,
    StopUse,
}

public enum AgeAnchor
{
    Manufacture,
    Fitting,
    Fill,
    Service,
    Regulatory,
}

public enum FindingGrade
{
    Pass,
    Watch,
    Fail,
    Unfit,
}
