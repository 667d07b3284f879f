namespace AgeWatch.Core.Marks;

/// <summary>The true distances that a reading on drums of few figures can stand for.</summary>
/// <param name="Totals">
/// In the instrument's unit, rising; empty when no total fits: then the instrument was replaced or altered, or a bound
/// is wrong.
/// </param>
/// <param name="MinimumTravelled">From the last known total to the least of them; null when there is none.</param>
/// <param name="MoreLeftOut">More totals fit than are listed.</param>
public sealed record RolloverTotals(IReadOnlyList<long> Totals, long? MinimumTravelled, bool MoreLeftOut);

/// <summary>
/// Drums of n figures wrap to zero: total = reading + k * 10^n.
/// </summary>
/// <remarks>
/// Source: 49 CFR 580.5(e)(2), "in excess of the designed mechanical odometer limit"; arithmetic. The tenths drum is no
/// figure of the count. A lower reading can also mean another instrument: only a plausible maximum tells them apart.
/// </remarks>
public static class OdometerRollover
{
    /// <summary>Totals listed at most.</summary>
    public const int MostTotals = 100;

    /// <summary>A reading is possible when it is not negative and has no more figures than the drums, 3 to 7.</summary>
    public static bool IsPossible(long reading, int drumDigits) =>
        drumDigits is >= 3 and <= 7 && reading >= 0 && reading < Limit(drumDigits);

    /// <param name="reading">As shown, without tenths; one unit throughout.</param>
    /// <param name="drumDigits">3 to 7, without the tenths drum.</param>
    /// <param name="lastKnownTotal">The total cannot be less. 0 to a million million.</param>
    /// <param name="maxPlausibleTotal">The total cannot be more.</param>
    /// <exception cref="ArgumentOutOfRangeException">The reading is not possible on such drums, or the last total is
    /// out of bounds.</exception>
    public static RolloverTotals Totals(long reading, int drumDigits, long lastKnownTotal, long maxPlausibleTotal)
    {
        if (!IsPossible(reading, drumDigits))
        {
            throw new ArgumentOutOfRangeException(nameof(reading), reading, $"Not a reading of {drumDigits} drums.");
        }

        ArgumentOutOfRangeException.ThrowIfNegative(lastKnownTotal);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(lastKnownTotal, 1_000_000_000_000);
        var limit = Limit(drumDigits);
        var first = lastKnownTotal <= reading
            ? reading
            : reading + (lastKnownTotal - reading + limit - 1) / limit * limit;
        List<long> totals = [];
        var total = first;
        while (total <= maxPlausibleTotal && totals.Count < MostTotals)
        {
            totals.Add(total);
            total += limit;
        }

        return new(
            totals,
            totals.Count == 0 ? null : totals[0] - lastKnownTotal,
            totals.Count == MostTotals && total <= maxPlausibleTotal);
    }

    private static long Limit(int drumDigits)
    {
        var limit = 1L;
        for (var i = 0; i < drumDigits; i++)
        {
            limit *= 10;
        }

        return limit;
    }
}
