using AgeWatch.Core.Usage;
using MathNet.Numerics.Optimization;
using MathNet.Numerics.Statistics;

namespace AgeWatch.Core.Tests.Usage;

/// <summary>
/// The weighted slope is the one that minimises Jaeckel's dispersion, the sum of |(yj - yi) - b(xj - xi)| over all
/// pairs: a median of slopes weighted by |xj - xi| is where the derivative of that sum changes its sign.
/// MathNet.Numerics finds the minimum by golden section and the plain median by its own quantile, neither of them by
/// our way.
/// </summary>
public sealed class TheilSenTests
{
    [Fact]
    public void The_weighted_slope_is_where_MathNet_finds_the_least_dispersion()
    {
        Random random = new(20261125);
        for (var run = 0; run < 300; run++)
        {
            var (x, y) = Points(random);

            var slope = TheilSen.WeightedSlope(x, y)!.Value;

            double Dispersion(double b) => Pairs(x).Sum(p => Math.Abs(y[p.J] - y[p.I] - b * (x[p.J] - x[p.I])));
            var least = GoldenSectionMinimizer.Minimum(
                ObjectiveFunction.ScalarValue(Dispersion), -500, 500, 1e-7, 1000);
            Assert.True(Dispersion(slope) <= Dispersion(least.MinimizingPoint)
                + 1e-6, $"run {run}: {slope} against {least.MinimizingPoint}");
        }
    }

    [Fact]
    public void The_plain_slope_is_MathNets_median_of_the_pair_slopes()
    {
        Random random = new(1968);
        for (var run = 0; run < 300; run++)
        {
            var (x, y) = Points(random);

            var expected = Pairs(x)
                .Where(p => x[p.I] != x[p.J])
                .Select(p => (y[p.J] - y[p.I]) / (x[p.J] - x[p.I]))
                .Median();

            Assert.Equal(expected, TheilSen.Slope(x, y)!.Value, 1e-9);
        }
    }

    private static (double[] X, double[] Y) Points(Random random)
    {
        var x = Enumerable.Range(0, random.Next(3, 15)).Select(_ => (double)random.Next(0, 400)).ToArray();
        x[1] = x[0] + 1;
        return (
            x,
            [.. x.Select(at =>
                random.NextDouble() < 0.2 ? random.NextDouble() * 20_000 : 30 * at + 50 * random.NextDouble())]);
    }

    private static IEnumerable<(int I, int J)> Pairs(double[] x) =>
        Enumerable.Range(0, x.Length).SelectMany(i => Enumerable.Range(i + 1, x.Length - i - 1).Select(j => (i, j)));
}
