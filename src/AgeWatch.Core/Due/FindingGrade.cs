namespace AgeWatch.Core.Due;

/// <summary>What an inspection concluded. A greater value is worse.</summary>
public enum FindingGrade
{
    Pass,

    /// <summary>Usable, but to be looked at sooner than the plain interval asks.</summary>
    Watch,

    /// <summary>Due for replacement now.</summary>
    Fail,

    /// <summary>Not to be used any more.</summary>
    Unfit,
}
