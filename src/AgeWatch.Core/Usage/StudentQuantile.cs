using MathNet.Numerics.Distributions;

namespace AgeWatch.Core.Usage;

/// <summary>Student's quantiles; those of the default alpha are kept, for the search behind each takes longer than the
/// rest of a model.</summary>
internal static class StudentQuantile
{
    private static readonly double[] Kept = new double[64];

    /// <param name="freedom">Degrees of freedom, 1 or more.</param>
    /// <param name="alpha">One-sided.</param>
    public static double Of(int freedom, double alpha)
    {
        if (alpha != UsageModel.DefaultAlpha || freedom >= Kept.Length)
        {
            return StudentT.InvCDF(0, 1, freedom, 1 - alpha);
        }

        // Two threads may both search; they write the same number.
        return Kept[freedom] is > 0 and var kept ? kept : Kept[freedom] = StudentT.InvCDF(0, 1, freedom, 1 - alpha);
    }
}
