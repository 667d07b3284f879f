namespace AgeWatch.Core.Catalogue;

/// <summary>Whether a kind is a physical part or work that repeats.</summary>
public enum PartForm
{
    Component,

    /// <summary>Work with no part of its own: fluids, adjustments, checks.</summary>
    ServiceTask,
}

/// <summary>What is done about a kind. After the task classes of reliability-centred maintenance (R-MSG3; R-JA1011 from
/// memory).</summary>
public enum TaskType
{
    /// <summary>Thrown away at the limit whatever it looks like.</summary>
    Discard,

    /// <summary>Overhauled or refilled at the limit.</summary>
    Restoration,

    /// <summary>Looked at in time: kept only if it will last to the next look (R-TAIC).</summary>
    OnCondition,

    /// <summary>A value is measured.</summary>
    FunctionalCheck,

    Servicing,

    /// <summary>Shelf stock: looked at and its date read before it is fitted.</summary>
    InspectBeforeFit,

    /// <summary>Left until it fails, because the failure is evident, harmless and cheap.</summary>
    RunToFailure,
}

/// <summary>Whether a person may decide to run past a limit of this kind.</summary>
public enum DeferralRule
{
    Never,
    Conditional,
    Allowed,
}

/// <summary>What can make a part due.</summary>
public enum LifeEnd
{
    Age,
    Distance,
    Hours,
    Condition,
    Event,
}

/// <summary>A happening that ends the life of some parts at once.</summary>
public enum LifeEvent
{
    Crash,
    Fire,
}
