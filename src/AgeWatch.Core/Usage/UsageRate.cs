namespace AgeWatch.Core.Usage;

/// <summary>On what a rate rests.</summary>
public enum RateBasis
{
    /// <summary>Nothing: no rate is known.</summary>
    None,

    /// <summary>Two steps or more between readings: the rate has a spread.</summary>
    Readings,

    /// <summary>One step between two readings, and nobody says otherwise.</summary>
    OneStep,

    /// <summary>What the owner declared.</summary>
    Declared,

    /// <summary>The club's figure for such vehicles; nothing of this one's own.</summary>
    Fleet,
}

/// <summary>How far the vehicle goes in a year, and how sure that is.</summary>
/// <remarks>
/// With two steps or more the steps are taken as D_i ~ N(r·Δx_i, σ²·Δx_i): r is all distance over all time of the use
/// clock. The early day of a remaining distance m solves r·h + t·√(σ²·(h + h²/T)) = m with Student's t for k − 1
/// degrees of freedom and 1 − alpha; the late day uses −t. Derived; it is the exact predictive limit under that model.
/// </remarks>
internal sealed record UsageRate
{
    public required RateBasis Basis { get; init; }

    /// <summary>Kilometres per unit of the use clock that the prediction uses: the higher of the rates that
    /// disagree.</summary>
    public double Rate { get; init; }

    /// <summary>The lowest rate of its own or its owner's; the late day rests on it when there is no spread. Zero:
    /// there is none.</summary>
    public double LowRate { get; init; }

    /// <summary>All distance over all time; null without a step.</summary>
    public double? Overall { get; init; }

    /// <summary>Weighted Theil-Sen slope; null with fewer than two steps.</summary>
    public double? CrossCheck { get; init; }

    /// <summary>σ², square kilometres per unit of the use clock; zero when there is no spread to be had.</summary>
    public double Variance { get; init; }

    /// <summary>T, the use clock from the first to the last reading.</summary>
    public double Span { get; init; }

    public int Steps { get; init; }

    /// <summary>Student's quantile for the alpha asked.</summary>
    public double Quantile { get; init; }

    /// <summary>It has one step of its own and its owner does not confirm it; the club's figure is no
    /// confirmation.</summary>
    public bool Alone { get; init; }

    /// <summary>The two rates differ by more than 30 % of the cross-check.</summary>
    public bool Disagrees =>
        Overall is { } own && CrossCheck is { } check && Math.Abs(own - check) > 0.3 * Math.Abs(check);

    /// <summary>Use-clock time until <paramref name="km"/> more are covered, at the early, likely and late end; null:
    /// never.</summary>
    public (double? Early, double? Likely, double? Late) Horizons(double km)
    {
        if (km <= 0)
        {
            return (0, 0, 0);
        }

        double? likely = Rate > 0 ? km / Rate : null;
        if (Variance <= 0 || Quantile <= 0)
        {
            // One step tells nothing of its spread: half the time is the margin, common practice.
            var early = Alone && Overall is { } own && 2 * own > Rate ? km / (2 * own) : likely;
            return (early, likely, LowRate > 0 ? km / LowRate : null);
        }

        return (Root(km, Rate).Low, likely, Root(km, LowRate).High);
    }

    /// <summary>The roots of (r² − c/T)·h² − (2·m·r + c)·h + m² = 0 with c = t²·σ², written so that neither
    /// cancels.</summary>
    private (double Low, double? High) Root(double km, double rate)
    {
        var c = Quantile * Quantile * Variance;
        var lead = rate * rate - c / Span;
        var linear = 2 * km * rate + c;
        var root = Math.Sqrt(Math.Max(0, linear * linear - 4 * lead * km * km));
        return (2 * km * km / (linear + root), lead > 0 ? (linear + root) / (2 * lead) : null);
    }
}
