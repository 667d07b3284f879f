using MathNet.Numerics.Distributions;

namespace AgeWatch.Core.Usage;

/// <summary>A straight line through points that a few wild ones cannot bend: the median of all pair slopes.</summary>
/// <remarks>
/// Sen, P.K. (1968), JASA 63:1379; pairs with equal x are left out. The weighted slope gives each pair its distance in
/// x as weight (Jaeckel 1972, Sievers 1978, from memory): two readings on one trip then weigh next to nothing.
/// </remarks>
public static class TheilSen
{
    /// <summary>Median of the pair slopes; null when fewer than two different x are given.</summary>
    public static double? Slope(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        var slopes = Slopes(x, y);
        return slopes.Count == 0 ? null : Median([.. slopes.Select(slope => slope.Value)]);
    }

    /// <summary>Median of y − slope·x, the intercept of the same line.</summary>
    public static double? Intercept(IReadOnlyList<double> x, IReadOnlyList<double> y) =>
        Slope(x, y) is { } slope ? Median([.. x.Select((at, i) => y[i] - slope * at)]) : null;

    /// <summary>Lower weighted median of the pair slopes, weight |xj − xi|; null when fewer than two different x are
    /// given.</summary>
    public static double? WeightedSlope(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        var slopes = Slopes(x, y);
        if (slopes.Count == 0)
        {
            return null;
        }

        slopes.Sort((a, b) => a.Value.CompareTo(b.Value));
        var half = slopes.Sum(slope => slope.Weight) / 2;
        var seen = 0.0;
        foreach (var (value, weight) in slopes)
        {
            seen += weight;
            if (seen >= half)
            {
                return value;
            }
        }

        return slopes[^1].Value;
    }

    /// <summary>Sen's rank interval for the slope, both ends included.</summary>
    /// <param name="confidence">Two-sided, between 0 and 1.</param>
    public static (double Low, double High)? Interval(
        IReadOnlyList<double> x, IReadOnlyList<double> y, double confidence)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(confidence);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(confidence, 1);
        double[] slopes = [.. Slopes(x, y).Select(slope => slope.Value).Order()];
        if (slopes.Length == 0)
        {
            return null;
        }

        double n = x.Count;
        var variance = (n * (n - 1) * (2 * n + 5) - Ties(x) - Ties(y)) / 18;
        var reach = Normal.InvCDF(0, 1, (1 + confidence) / 2) * Math.Sqrt(Math.Max(0, variance));
        var low = (int)Math.Round((slopes.Length - reach) / 2) - 1;
        var high = (int)Math.Round((slopes.Length + reach) / 2);
        return (slopes[Math.Clamp(low, 0, slopes.Length - 1)], slopes[Math.Clamp(high, 0, slopes.Length - 1)]);
    }

    private static List<(double Value, double Weight)> Slopes(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        List<(double, double)> slopes = new(x.Count * (x.Count - 1) / 2);
        for (var i = 0; i < x.Count; i++)
        {
            for (var j = i + 1; j < x.Count; j++)
            {
                var dx = x[j] - x[i];
                if (dx != 0)
                {
                    slopes.Add(((y[j] - y[i]) / dx, Math.Abs(dx)));
                }
            }
        }

        return slopes;
    }

    private static double Ties(IReadOnlyList<double> values) =>
        values.GroupBy(value => value)
            .Sum(group => (double)group.Count() * (group.Count() - 1) * (2 * group.Count() + 5));

    private static double Median(double[] values)
    {
        Array.Sort(values);
        var middle = values.Length / 2;
        return values.Length % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
    }
}
