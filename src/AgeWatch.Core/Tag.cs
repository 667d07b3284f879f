namespace AgeWatch.Core;

/// <summary>Where a number comes from. It is shown beside every number.</summary>
public enum Tag
{
    /// <summary>A law in force where the vehicle is.</summary>
    Law,

    /// <summary>A label or plate on the part itself.</summary>
    Label,

    /// <summary>The vehicle or part maker's figure, with document and place.</summary>
    Maker,

    /// <summary>A published standard or official guidance, named by its reference.</summary>
    Standard,

    /// <summary>Common practice; no published source.</summary>
    Practice,

    /// <summary>A published source named from memory, its text not at hand: treat as unverified.</summary>
    Memory,

    /// <summary>A rule that an owner or officer set, with name, reason and a day of review.</summary>
    Own,
}
