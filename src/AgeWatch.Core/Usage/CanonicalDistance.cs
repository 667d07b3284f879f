namespace AgeWatch.Core.Usage;

/// <summary>A reading that was accepted, with the distance covered since the first one.</summary>
/// <param name="Low">Least distance since the first accepted reading, exact.</param>
/// <param name="High">Most; greater than <paramref name="Low"/> only after a rollover that can be read in several ways,
/// or a gap between two odometers.</param>
/// <param name="Continues">Its distance from the reading before it is known.</param>
/// <param name="Rollovers">How often the drums wrapped since the reading before it, at least.</param>
public sealed record CanonicalReading(ShownDistance Shown, Distance Low, Distance High, bool Continues, int Rollovers)
{
    public DateOnly On => Shown.On;
}

public enum RefusalReason
{
    Negative,

    /// <summary>It has more figures than the odometer has drums.</summary>
    BeyondDrums,

    /// <summary>It shows less than an earlier reading and no believable rollover explains it.</summary>
    Backwards,

    /// <summary>Farther than can be believed for the days between.</summary>
    TooFar,

    /// <summary>The odometer named is not one of the vehicle's.</summary>
    NoSuchOdometer,

    /// <summary>Several odometers, and neither the reading nor its day says which.</summary>
    WhichOdometer,

    /// <summary>Before the odometer was fitted, after it was removed, or after its successor was read.</summary>
    OutsideOdometer,

    /// <summary>Dated after the day on which the facts are stated.</summary>
    NotYet,
}

/// <summary>A reading that is kept on record but plays no part.</summary>
/// <param name="Suggestion">What it may have been meant to be, in its own unit: two figures swapped, or the other
/// unit.</param>
public sealed record RefusedReading(ShownDistance Shown, RefusalReason Reason, TypingSlip? Suggestion);

/// <param name="Kind">What may have happened.</param>
/// <param name="Value">The value that would fit.</param>
/// <param name="Unit">The unit in which it would fit.</param>
public sealed record TypingSlip(SlipKind Kind, decimal Value, DistanceUnit Unit);

public enum SlipKind
{
    SwappedFigures,
    WrongUnit,
}

/// <summary>A gap whose distance can be read in several ways.</summary>
/// <param name="Increments">Every believable distance, the least first; for two odometers without a common day the
/// least and the most.</param>
public sealed record OpenGap(DateOnly From, DateOnly Until, IReadOnlyList<Distance> Increments, bool BetweenOdometers);

/// <summary>A step that is farther than usual for the days between, yet was accepted: it makes limits come
/// sooner.</summary>
public sealed record UnusualStep(ShownDistance Shown, decimal KilometresPerDay, TypingSlip? Suggestion);

/// <summary>One line of distance through all odometers of a vehicle.</summary>
/// <remarks>
/// Within one odometer a step is v2 − v1 + k·10^digits with k ≥ 0; it is believable when it lies between nothing and
/// the daily cap times the days. One believable k is taken, several are asked about, none refuses a reading. Steps are
/// never taken across odometers. Of readings that contradict each other the longest consistent run is kept.
/// Common practice throughout; the cap of five times the own rate, at least 40 km a day, too.
/// </remarks>
public sealed class CanonicalDistance
{
    /// <summary>Kilometres a day that are believed without knowing the vehicle.</summary>
    public const decimal PlainCap = 40;

    /// <summary>No road vehicle does more in a day; a plain forward step up to this is accepted with a
    /// warning.</summary>
    public const decimal HardCap = 2_000;

    private CanonicalDistance(
        IReadOnlyList<CanonicalReading> readings, IReadOnlyList<RefusedReading> refused,
        IReadOnlyList<OpenGap> gaps, IReadOnlyList<UnusualStep> unusual, decimal cap)
    {
        Readings = readings;
        Refused = refused;
        Gaps = gaps;
        Unusual = unusual;
        CapPerDay = cap;
    }

    public static CanonicalDistance Empty { get; } = new([], [], [], [], PlainCap);

    /// <summary>In order of day.</summary>
    public IReadOnlyList<CanonicalReading> Readings { get; }

    public IReadOnlyList<RefusedReading> Refused { get; }

    public IReadOnlyList<OpenGap> Gaps { get; }

    public IReadOnlyList<UnusualStep> Unusual { get; }

    /// <summary>Kilometres a day that a rollover may stand for.</summary>
    public decimal CapPerDay { get; }

    /// <summary>Every possible distance from the first to the last reading, the least first; at most <see
    /// cref="MostTotals"/>.</summary>
    public IReadOnlyList<Distance> Totals
    {
        get
        {
            if (Readings.Count == 0)
            {
                return [];
            }

            var fixedPart = Readings[^1].Low.Kilometres - Gaps.Sum(gap => gap.Increments[0].Kilometres);
            SortedSet<decimal> totals = [fixedPart];
            foreach (var gap in Gaps)
            {
                totals = [.. totals.SelectMany(total => gap.Increments.Select(step => total + step.Kilometres))];
                if (totals.Count > MostTotals)
                {
                    return [Readings[^1].Low, Readings[^1].High];
                }
            }

            return [.. totals.Select(total => new Distance(total))];
        }
    }

    public const int MostTotals = 32;

    /// <param name="knownOn">Readings dated after it are refused; null: none are.</param>
    public static CanonicalDistance Of(UsageFacts facts, DateOnly? knownOn)
    {
        if (facts.Readings.Count == 0)
        {
            return Empty;
        }

        List<RefusedReading> refused = [];
        var drums = Drums.Sort(facts, knownOn, refused);
        var cap = facts.MaxPerDay?.Kilometres ?? Math.Max(PlainCap, 5 * OwnRate(drums));
        List<CanonicalReading> readings = [];
        List<OpenGap> gaps = [];
        List<UnusualStep> unusual = [];
        var low = 0m;
        var high = 0m;
        foreach (var drum in drums)
        {
            var chain = drum.LongestRun(cap, strict: facts.MaxPerDay is not null, refused);
            for (var i = 0; i < chain.Count; i++)
            {
                var here = chain[i];
                var continues = readings.Count == 0 || i > 0 || readings[^1].On == here.On;
                var rollovers = 0;
                if (i > 0)
                {
                    var steps = drum.Steps(chain[i - 1], here, cap, facts.MaxPerDay is not null);
                    rollovers = steps[0].Rollovers;
                    low += steps[0].Kilometres;
                    high += steps[^1].Kilometres;
                    if (steps.Count > 1)
                    {
                        gaps.Add(new(chain[i - 1]
                            .On, here.On, [.. steps.Select(step => new Distance(step.Kilometres))], false));
                    }
                    else if (Unusually(steps[0].Kilometres, chain[i - 1].On, here.On, cap) is { } perDay)
                    {
                        unusual.Add(new(
                            here, perDay,
                            Drums.Slip(here, chain[i - 1], i + 1 < chain.Count ? chain[i + 1] : null, cap)));
                    }
                }
                else if (!continues)
                {
                    var from = readings[^1].On;
                    var most = 2 * OwnRate(drums) * (here.On.DayNumber - from.DayNumber);
                    gaps.Add(new(from, here.On, [Distance.Zero, new(most)], true));
                    high += most;
                }

                readings.Add(new(here, new(low), new(high), continues, rollovers));
            }
        }

        return new(readings, refused, gaps, unusual, cap);
    }

    private static decimal? Unusually(decimal kilometres, DateOnly from, DateOnly until, decimal cap)
    {
        var perDay = kilometres / Math.Max(1, until.DayNumber - from.DayNumber);
        return perDay > cap && until > from ? perDay : null;
    }

    /// <summary>Median of the plain forward rates, kilometres a day; zero with fewer than two of them.</summary>
    private static decimal OwnRate(IReadOnlyList<Drums> drums)
    {
        List<decimal> rates = [];
        foreach (var drum in drums)
        {
            for (var i = 1; i < drum.Readings.Count; i++)
            {
                var days = drum.Readings[i].On.DayNumber - drum.Readings[i - 1].On.DayNumber;
                var step = Drums.Kilometres(drum.Readings[i]) - Drums.Kilometres(drum.Readings[i - 1]);
                if (days > 0 && step >= 0 && step <= HardCap * days)
                {
                    rates.Add(step / days);
                }
            }
        }

        rates.Sort();
        return rates.Count < 2 ? 0 : rates[(rates.Count - 1) / 2];
    }
}
