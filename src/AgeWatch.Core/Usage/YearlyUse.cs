namespace AgeWatch.Core.Usage;

/// <summary>What a club can say of a year's use from the vehicles that it knows.</summary>
public static class YearlyUse
{
    /// <summary>95 of 100 do not exceed it: as cautious as the early day at its default alpha.</summary>
    public const double HighShare = 1 - UsageModel.DefaultAlpha;

    /// <summary>The least of the figures that at least the share of them does not exceed; null when there is
    /// none.</summary>
    /// <remarks>
    /// Nearest rank, the ⌈share·n⌉-th smallest: nothing is interpolated, so it is one of the figures; with fewer than
    /// 20 of them and a share of 0.95 it is the greatest.
    /// </remarks>
    /// <param name="share">More than 0, at most 1.</param>
    public static Distance? NotExceededBy(IEnumerable<Distance> perYear, double share)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(share);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(share, 1);
        Distance[] sorted = [.. perYear.OrderBy(distance => distance.Kilometres)];

        // 0.95 times 20 is 19 and a little in binary; that must not be the 20th.
        return sorted.Length == 0 ? null : sorted[Math.Max(0, (int)Math.Ceiling(share * sorted.Length - 1e-9) - 1)];
    }
}
