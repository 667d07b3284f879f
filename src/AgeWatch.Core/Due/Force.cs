namespace AgeWatch.Core.Due;

/// <summary>What stands behind a limit. Mandatory first: a smaller value is shown before a greater one.</summary>
public enum Force
{
    /// <summary>Law, label, maker or standard, a stop-use level of any tag, or a finding of fail or unfit.</summary>
    Mandatory,

    /// <summary>A rule of one's own, practice and memory: an honest inspection may answer it.</summary>
    Recommended,
}

internal static class Forces
{
    public static Force Of(Limit limit, Finding? finding, LimitMeasure measure) =>
        limit.Level == LimitLevel.StopUse
        || limit.Tag is Tag.Law or Tag.Label or Tag.Maker or Tag.Standard
        || finding is not null && measure == LimitMeasure.Condition
            ? Force.Mandatory
            : Force.Recommended;

    /// <summary>The mandatory one of two; null: nothing stands behind either.</summary>
    public static Force? Stronger(Force? a, Force? b) => a is null || b < a ? b : a;
}
