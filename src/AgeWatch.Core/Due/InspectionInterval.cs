namespace AgeWatch.Core.Due;

/// <summary>How often to look for a failure that gives warning.</summary>
public static class InspectionInterval
{
    /// <summary>Half the warning time: one look in two can miss and the failure is still seen coming.</summary>
    /// <remarks>
    /// Moubray, RCM II, and SAE JA1012 (from memory). It is the interval for a look that finds nine in ten and an
    /// accepted miss of one in a hundred.
    /// </remarks>
    public static decimal Half(decimal warningTime) => warningTime / 2;
}
