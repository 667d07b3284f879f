namespace AgeWatch.Core.Usage;

/// <summary>What was noticed about odometer readings, in sentences.</summary>
public static class UsageSentences
{
    public static IReadOnlyList<string> Of(UsageModel usage, DistanceUnit unit, bool isSeasonal) =>
    [
        Rate(usage, unit, isSeasonal),
        .. usage.Distance.Refused.Select(Of),
        .. usage.Distance.Gaps.Select(gap => Of(gap, unit)),
        .. usage.Distance.Unusual.Select(step => Of(step, unit)),
    ];

    private static string Rate(UsageModel usage, DistanceUnit unit, bool isSeasonal)
    {
        var each = $"{Name(unit)} a {(isSeasonal ? "season" : "year")}";
        var used = usage.UsedPerYear is { } rate ? $"{rate.In(unit):#,0} {each}" : "";
        return usage.Basis switch
        {
            RateBasis.None when usage.Steps > 0 =>
                "All its readings are the same; how far it goes in a year is not known from that.",
            RateBasis.None => "How far it goes in a year is not known.",
            RateBasis.Declared => $"It is taken to do {used}, as declared.",
            RateBasis.Fleet =>
                $"It is taken to do {used}, by the club's figure for such vehicles; its own use is not known.",
            RateBasis.OneStep =>
                $"It is taken to do {used} by two readings; one step has no spread, so half the time is the margin.",
            RateBasis.Readings when usage.RatesDisagree =>
                $"By {usage.Steps} steps between readings it does {usage.OverallPerYear!.Value.In(unit):#,0} {each}, "
                    + $"by the median of their slopes "
                + $"{usage.CrossCheckPerYear!.Value.In(unit):#,0}; they differ by more than 30 %, so the higher is "
                + $"used.",
            RateBasis.Readings =>
                $"By {usage.Steps} steps between readings it does {used}; {Promise(usage.Alpha)}.",
        };
    }

    // The shares found are those of EarlyDaySimulationTests, which were run at the default alpha only.
    private static string Promise(double alpha) => alpha == UsageModel.DefaultAlpha
        ? "in simulation the early day came too late in about 5 of 100 cases with even use, 7 where a year's use "
            + "varies by a fifth, 9 where by half"
        : $"the early day is meant to come too late in {alpha * 100:0.#} of 100 cases with even use, and does so "
            + $"more often with uneven use";

    public static string Of(RefusedReading refused)
    {
        var shown = $"The reading {Value(refused.Shown)} of {refused.Shown.On:O}";
        var reason = refused.Reason switch
        {
            RefusalReason.Negative => "is below zero",
            RefusalReason.BeyondDrums => "has more figures than the odometer has drums",
            RefusalReason.Backwards =>
                "contradicts the others: an odometer does not run backwards, and no believable rollover explains it. "
                    + "Say so if it rolled over or was replaced",
            RefusalReason.TooFar => "is farther than can be believed for the days between",
            RefusalReason.NoSuchOdometer => "names an odometer that the vehicle does not have",
            RefusalReason.WhichOdometer => "could be of more than one odometer: say of which",
            RefusalReason.OutsideOdometer => "lies outside the time in which its odometer was fitted",
            RefusalReason.NotYet => "is dated after the day on which the facts are stated",
        };
        var part = refused.Reason is RefusalReason.Backwards or RefusalReason.TooFar
            ? "until that is settled the worse of the two counts"
            : "it plays no part";
        return $"{shown} {reason}; {part}.{Meant(refused.Suggestion)}";
    }

    public static string Of(UnusualStep step, DistanceUnit unit) =>
        $"The reading {Named(step.Shown)} means {new Distance(step.KilometresPerDay).In(unit):#,0} {Name(unit)} a day "
            + $"since the one before, far more than usual.{Meant(step.Suggestion)}";

    public static string Of(OpenGap gap, DistanceUnit unit)
    {
        var ways = string.Join(" or ", gap.Increments.Select(step => $"{step.In(unit):#,0}"));
        return gap.BetweenOdometers
            ? $"Between {gap.From:O} and {gap.Until:O} the odometer was changed with no common day: "
                + $"{gap.Increments[0].In(unit):#,0} to {gap.Increments[^1].In(unit):#,0} {Name(unit)} may lie "
                + $"between; what did both show that day?"
            : $"Between {gap.From:O} and {gap.Until:O} the odometer can have passed its end more than once: {ways} "
                + $"{Name(unit)}; which is right?";
    }

    public static string IsItRight(ShownDistance shown) =>
        $"Is the reading {Named(shown)} right, or was the odometer replaced, or did it pass its end?";

    /// <summary>The value and the day by which a reading is known.</summary>
    public static string Named(ShownDistance shown) => $"{Value(shown)} of {shown.On:O}";

    public static string Name(DistanceUnit unit) => unit == DistanceUnit.Mile ? "mi" : "km";

    private static string Value(ShownDistance shown) => $"{shown.Value:#,0.###} {Name(shown.Unit)}";

    private static string Meant(TypingSlip? slip) => slip switch
    {
        null => "",
        { Kind: SlipKind.WrongUnit } =>
            $" It would fit as {slip.Value:#,0.###} {Name(slip.Unit)}: was the unit mistaken?",
        { Kind: SlipKind.SwappedFigures } =>
            $" It would fit as {slip.Value:#,0.###} {Name(slip.Unit)}: were two figures swapped?",
        _ => throw new System.Diagnostics.UnreachableException(),
    };
}
