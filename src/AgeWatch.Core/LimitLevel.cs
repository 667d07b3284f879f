namespace AgeWatch.Core;

/// <summary>What a limit asks for when it is reached. A greater value outranks a smaller one.</summary>
public enum LimitLevel
{
    InspectFrom,
    ReplaceBy,
    StopUse,
}
