namespace AgeWatch.Core.Due;

/// <summary>The words that people are shown, each idea under one name wherever it stands. Names on the wire are
/// others.</summary>
public static class Words
{
    public static string Of(HazardClass hazard) => hazard switch
    {
        HazardClass.Catastrophic => "catastrophic: could kill",
        HazardClass.Critical => "critical: could injure, burn or wreck the engine",
        HazardClass.Marginal => "marginal: could strand the car",
        HazardClass.Negligible => "negligible: nuisance or cost",
    };

    /// <summary>As a label.</summary>
    public static string Of(DueState state, Certainty certainty)
    {
        var word = state switch
        {
            DueState.StopUse => "Stop use",
            DueState.Overdue => "Overdue",
            DueState.Unknown => "Unknown",
            DueState.InspectDue => "Inspection due",
            DueState.DueSoon => "Due soon",
            DueState.InLife => "In life",
        };
        return certainty == Certainty.Possible && state is not (DueState.Unknown or DueState.InLife)
            ? word + ", possibly"
            : word;
    }

    /// <summary>As a label: the state with what stands behind it.</summary>
    public static string Of(DueState state, Certainty certainty, Force? force) =>
        force is { } behind ? $"{Of(state, certainty)}, {Of(behind)}" : Of(state, certainty);

    public static string Of(Force force) => force switch
    {
        Force.Mandatory => "mandatory",
        Force.Recommended => "recommended",
    };

    /// <summary>After "it is".</summary>
    public static string ItIs(DueState state) => state switch
    {
        DueState.StopUse => "not to be used",
        DueState.Overdue => "overdue",
        DueState.Unknown => "unknown",
        DueState.InspectDue => "due for inspection",
        DueState.DueSoon => "due soon",
        DueState.InLife => "in life",
    };

    /// <summary>As a label.</summary>
    public static string Of(LimitLevel level) => level switch
    {
        LimitLevel.InspectFrom => "inspect from",
        LimitLevel.ReplaceBy => "replace by",
        LimitLevel.StopUse => "stop use",
    };

    /// <summary>What it asks for, at the start of a sentence.</summary>
    public static string Demand(LimitLevel level) => level switch
    {
        LimitLevel.InspectFrom => "Inspect",
        LimitLevel.ReplaceBy => "Replace",
        LimitLevel.StopUse => "Do not use",
    };

    /// <summary>The limit as a thing: so many months of it.</summary>
    public static string Limit(LimitLevel level) => level switch
    {
        LimitLevel.InspectFrom => "inspection limit",
        LimitLevel.ReplaceBy => "limit",
        LimitLevel.StopUse => "stop-use limit",
    };

    /// <summary>After "from".</summary>
    public static string Of(AgeAnchor anchor) => anchor switch
    {
        AgeAnchor.Manufacture => "manufacture",
        AgeAnchor.Fitting => "fitting",
        AgeAnchor.Fill => "filling",
        AgeAnchor.Service => "the last time it was done",
        AgeAnchor.Regulatory => "the legal date",
        AgeAnchor.Inspection => "the last inspection",
        AgeAnchor.Printed => "the printed day",
        AgeAnchor.Finding => "the finding",
    };

    public static string Of(Tag tag) => TagWords.Of(tag);
}
