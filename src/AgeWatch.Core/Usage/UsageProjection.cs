namespace AgeWatch.Core.Usage;

/// <summary>How far a vehicle goes, and when a remaining distance is covered.</summary>
public sealed record UsageRequest
{
    public required UsageFacts Facts { get; init; }

    /// <summary>
    /// The day on which the facts are stated: later readings are refused, and a vehicle that still stands may move from
    /// then on. Null: every reading counts.
    /// </summary>
    public DateOnly? AsOf { get; init; }

    /// <summary>Distance left after the last reading; without a reading, after <see cref="AsOf"/>. Null: only the rates
    /// are asked.</summary>
    public Distance? Remaining { get; init; }

    /// <summary>One-sided chance that the distance is covered before the early day; more than 0, less than
    /// 0.5.</summary>
    public double Alpha { get; init; } = UsageModel.DefaultAlpha;

    /// <summary>The unit in which sentences speak.</summary>
    public DistanceUnit Unit { get; init; }
}

/// <summary>What the readings say.</summary>
public sealed record UsageReply
{
    /// <summary>All distance over all time; with a season, in a season. With fewer than two steps the rate that is
    /// used. Null: nothing is known.</summary>
    public Distance? PerYear { get; init; }

    /// <summary>The same by the weighted median of all slopes; null with fewer than two steps.</summary>
    public Distance? CrossCheckPerYear { get; init; }

    /// <summary>The rate behind the early day: the higher of those that are claimed or that disagree by more than 30
    /// %.</summary>
    public Distance? UsedPerYear { get; init; }

    public RateBasis Basis { get; init; }

    public bool RatesDisagree { get; init; }

    /// <summary>Null when nothing was asked, or no rate is known.</summary>
    public ReachedOn? ReachedOn { get; init; }

    /// <summary>Distance from the first to the last accepted reading; null when it can be read in several ways, or
    /// nothing was read.</summary>
    public Distance? Total => Totals.Count == 1 ? Totals[0] : null;

    /// <summary>Every way to read it, the least first; after a change of odometer without a common day the least and
    /// the most.</summary>
    public IReadOnlyList<Distance> Totals { get; init; } = [];

    public CanonicalDistance Distance { get; init; } = CanonicalDistance.Empty;

    public IReadOnlyList<string> Questions { get; init; } = [];

    public IReadOnlyList<UsageWarning> Warnings { get; init; } = [];
}

public enum UsageWarningCode
{
    ReadingRefused,
    UnusualStep,

    /// <summary>A reading was given in another unit than its odometer counts in.</summary>
    OtherUnit,

    /// <summary>The drums wrapped, and exactly one count is believable.</summary>
    Rollover,
    RatesDisagree,

    /// <summary>No spread can be told from so few readings.</summary>
    FewReadings,

    /// <summary>The early day has come by the day asked: the distance may be covered already.</summary>
    MayBeReached,
}

public sealed record UsageWarning(UsageWarningCode Code, string Text, ShownDistance? Shown = null);

/// <summary>The usage calculator.</summary>
public static class UsageProjection
{
    /// <exception cref="ArgumentOutOfRangeException">Alpha is not between 0 and 0.5.</exception>
    public static UsageReply Project(UsageRequest request)
    {
        var model = UsageModel.Of(request.Facts, request.AsOf, request.Alpha);
        ReachedOn? reached = request.Remaining is { } remaining
            && model.Basis != RateBasis.None
            && (model.Last?.On ?? request.AsOf) is { } from
            ? Worst(model, from, remaining)
            : null;
        return new()
        {
            PerYear = model.Steps >= 2 ? model.OverallPerYear : model.UsedPerYear,
            CrossCheckPerYear = model.CrossCheckPerYear,
            UsedPerYear = model.UsedPerYear,
            Basis = model.Basis,
            RatesDisagree = model.RatesDisagree,
            ReachedOn = reached,
            Totals = model.Distance.Totals,
            Distance = model.Distance,
            Questions = Questions(request, model),
            Warnings = Warnings(request, model, reached),
        };
    }

    /// <summary>The earliest and the latest day of all that the readings can mean.</summary>
    private static ReachedOn Worst(UsageModel model, DateOnly from, Distance remaining)
    {
        var worst = model.After(from, remaining);
        foreach (var other in model.Alternatives)
        {
            if (other.Basis == RateBasis.None)
            {
                continue;
            }

            var its = other.After(from, remaining);
            worst = new(
                its.Early < worst.Early || worst.Early is null ? its.Early : worst.Early,
                its.Likely < worst.Likely || worst.Likely is null ? its.Likely : worst.Likely,
                its.Late > worst.Late || its.Late is null ? its.Late : worst.Late);
        }

        return worst;
    }

    private static List<string> Questions(UsageRequest request, UsageModel model)
    {
        List<string> questions =
        [
            .. model.Distance.Gaps.Select(gap => UsageSentences.Of(gap, request.Unit)),
            .. model.Distance.Doubtful.Select(shown => UsageSentences.IsItRight(shown)),
        ];
        if (model.Basis == RateBasis.None)
        {
            questions.Add("What does the odometer show today, or how far does it go in a year?");
        }

        return questions;
    }

    private static List<UsageWarning> Warnings(UsageRequest request, UsageModel model, ReachedOn? reached)
    {
        List<UsageWarning> warnings = [];
        foreach (var refused in model.Distance.Refused)
        {
            warnings.Add(new(UsageWarningCode.ReadingRefused, UsageSentences.Of(refused), refused.Shown));
        }

        foreach (var step in model.Distance.Unusual)
        {
            warnings.Add(new(UsageWarningCode.UnusualStep, UsageSentences.Of(step, request.Unit), step.Shown));
        }

        foreach (var reading in model.Distance.Readings)
        {
            if (reading.Rollovers > 0
                && !model.Distance.Gaps.Any(gap => gap.Until == reading.On && !gap.BetweenOdometers))
            {
                warnings.Add(new(
                    UsageWarningCode.Rollover,
                    $"By {reading.On:O} the odometer had passed its end {reading.Rollovers} time(s).", reading.Shown));
            }

            var odometer = request.Facts.Instruments.FirstOrDefault(one => one.Id == reading.Shown.Instrument)
                ?? (request.Facts.Instruments.Count == 1 ? request.Facts.Instruments[0] : null);
            if (odometer is not null && odometer.Unit != reading.Shown.Unit)
            {
                warnings.Add(new(
                    UsageWarningCode.OtherUnit,
                    $"The reading of {reading.On:O} is given in {UsageSentences.Name(reading.Shown.Unit)}, but its "
                        + $"odometer counts in {UsageSentences.Name(odometer.Unit)}.",
                    reading.Shown));
            }
        }

        if (model.RatesDisagree)
        {
            warnings.Add(new(
                UsageWarningCode.RatesDisagree,
                $"All readings say {Yearly(model.OverallPerYear)}, the median of their slopes "
                    + $"{Yearly(model.CrossCheckPerYear)}: more than 30 % apart, so the higher is used."));
        }

        if (model.Steps < 2)
        {
            warnings.Add(new(UsageWarningCode.FewReadings, model.Basis switch
            {
                RateBasis.None => "No rate can be told from so few readings.",
                RateBasis.OneStep =>
                    "One step between readings has no spread: the early day lies at half the time (common practice).",
                _ => "With so few readings the largest of the rates that are claimed is used.",
            }));
        }

        if (reached?.Early <= request.AsOf)
        {
            warnings.Add(new(
                UsageWarningCode.MayBeReached,
                $"The distance may have been covered by {reached.Value.Early:O}: read the odometer."));
        }

        return warnings;

        string Yearly(Distance? perYear) =>
            $"{perYear!.Value.In(request.Unit):#,0} {UsageSentences.Name(request.Unit)} a year";
    }
}
