namespace AgeWatch.Core;

/// <summary>What the failure of a part can do. Worst first; orders what is shown.</summary>
/// <remarks>Names of MIL-STD-882E Table I (seen as a third-party copy); the wording is ours, for cars.</remarks>
public enum HazardClass
{
    /// <summary>Could kill or permanently disable.</summary>
    Catastrophic,

    /// <summary>Could injure seriously, start a contained fire, or destroy the engine.</summary>
    Critical,

    /// <summary>Could strand the car or injure slightly.</summary>
    Marginal,

    /// <summary>Nuisance or cost only.</summary>
    Negligible,
}
