namespace AgeWatch.Core.Usage;

/// <summary>One line of distance through all odometers of a vehicle.</summary>
/// <remarks>
/// Within one odometer a step is v2 − v1 + k·10^digits with k ≥ 0; it is believable when it lies between nothing and
/// the daily cap times the days. One believable k is taken, several are asked about, none refuses a reading. Steps are
/// never taken across odometers; what was driven between two of them is bounded by twice the vehicle's own rate, by
/// what its owner declared and by the club's figure, whichever is most, and without any of these by the plain cap.
/// Of readings that contradict each other the longest consistent run is kept; the runs that would hold if a refused
/// reading were right stand beside it as <see cref="Alternatives"/>, and the worst of all counts until somebody says
/// which is right. Common practice throughout; the cap of five times the own rate, at least 40 km a day and what is
/// declared, too.
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
        IReadOnlyList<OpenGap> gaps, IReadOnlyList<UnusualStep> unusual, decimal cap, decimal mostPerDay)
    {
        Readings = readings;
        Refused = refused;
        Gaps = gaps;
        Unusual = unusual;
        CapPerDay = cap;
        MostPerDay = mostPerDay;
    }

    public static CanonicalDistance Empty { get; } = new([], [], [], [], PlainCap, PlainCap);

    /// <summary>In order of day.</summary>
    public IReadOnlyList<CanonicalReading> Readings { get; }

    public IReadOnlyList<RefusedReading> Refused { get; }

    public IReadOnlyList<OpenGap> Gaps { get; }

    public IReadOnlyList<UnusualStep> Unusual { get; }

    /// <summary>Kilometres a day that a rollover may stand for.</summary>
    public decimal CapPerDay { get; }

    /// <summary>Kilometres a day that what was driven unseen is bounded by.</summary>
    public decimal MostPerDay { get; }

    /// <summary>Readings to be asked about: refused because they contradict others, or far above the usual.</summary>
    public IEnumerable<ShownDistance> Doubtful =>
        Refused.Where(refused => refused.Reason != RefusalReason.NotYet).Select(refused => refused.Shown)
            .Concat(Unusual.Select(step => step.Shown));

    /// <summary>What would hold if readings that are refused here were right; empty when none contradict each
    /// other.</summary>
    public IReadOnlyList<CanonicalDistance> Alternatives { get; private set; } = [];

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

    /// <summary>Of many contradictions only so many are followed up; what most readings support comes first.</summary>
    private const int MostAlternatives = 8;

    /// <param name="knownOn">Readings dated after it are refused; null: none are.</param>
    public static CanonicalDistance Of(UsageFacts facts, DateOnly? knownOn)
    {
        if (facts.Readings.Count == 0)
        {
            return Empty;
        }

        List<RefusedReading> refused = [];
        var drums = Drums.Sort(facts, knownOn, refused);
        var declared = PerDay(facts.DeclaredPerYear);
        var cap = facts.MaxPerDay?.Kilometres ?? Math.Max(Math.Max(PlainCap, 5 * OwnRate(drums, 2)), declared);
        var most = Math.Max(2 * OwnRate(drums, 1), Math.Max(declared, PerDay(facts.FleetPerYear)));
        Line line = new(drums, refused, cap, most > 0 ? most : PlainCap, facts.MaxPerDay is not null);
        var (best, length, wild) = line.Through(null);
        List<(CanonicalDistance Track, int Length)> others = [];
        foreach (var reading in best.Refused)
        {
            if (reading.Reason is not (RefusalReason.Backwards or RefusalReason.TooFar))
            {
                continue;
            }

            // With fewer readings for it and more wild steps nobody would believe it.
            var (track, itsLength, itsWild) = line.Through(reading.Shown);
            if ((itsLength >= length || itsWild <= wild)
                && !others.Exists(known => known.Track.Readings.SequenceEqual(track.Readings)))
            {
                others.Add((track, itsLength));
            }
        }

        best.Alternatives = [.. others.OrderByDescending(other => other.Length).Take(MostAlternatives)
            .Select(other => other.Track)];
        return best;
    }

    private static decimal PerDay(Distance? perYear) =>
        (perYear?.Kilometres ?? 0) / (decimal)UseClock.DaysPerYear;

    /// <param name="Unused">What no run can use.</param>
    /// <param name="Cap">Kilometres a day that are believed.</param>
    /// <param name="Most">Kilometres a day between two odometers.</param>
    private sealed record Line(
        IReadOnlyList<Drums> Odometers, IReadOnlyList<RefusedReading> Unused, decimal Cap, decimal Most, bool Strict)
    {
        /// <param name="right">A reading that is taken to be right; null: none more than the others.</param>
        public (CanonicalDistance Track, int Length, int Wild) Through(ShownDistance? right)
        {
            List<RefusedReading> refused = [.. Unused];
            List<CanonicalReading> readings = [];
            List<OpenGap> gaps = [];
            List<UnusualStep> unusual = [];
            var (low, high, wild) = (0m, 0m, 0);
            foreach (var drum in Odometers)
            {
                var chain = drum.LongestRun(Cap, Strict, refused, right);
                for (var i = 0; i < chain.Count; i++)
                {
                    var here = chain[i];
                    var continues = readings.Count == 0 || i > 0 || readings[^1].On == here.On;
                    var rollovers = 0;
                    if (i > 0)
                    {
                        var before = chain[i - 1];
                        var steps = drum.Steps(before, here, Cap, Strict);
                        rollovers = steps[0].Rollovers;
                        low += steps[0].Kilometres;
                        high += steps[^1].Kilometres;
                        wild += steps[0].Kilometres > Cap * Math.Max(1, here.On.DayNumber - before.On.DayNumber)
                            ? 1
                            : 0;
                        if (steps.Count > 1)
                        {
                            gaps.Add(new(
                                before.On, here.On, [.. steps.Select(step => new Distance(step.Kilometres))], false));
                        }
                        else if (Unusually(steps[0].Kilometres, before.On, here.On, Cap) is { } perDay)
                        {
                            unusual.Add(new(
                                here, perDay,
                                Drums.Slip(here, before, i + 1 < chain.Count ? chain[i + 1] : null, Cap)));
                        }
                    }
                    else if (!continues)
                    {
                        var from = readings[^1].On;
                        var most = Most * (here.On.DayNumber - from.DayNumber);
                        gaps.Add(new(from, here.On, [Distance.Zero, new(most)], true));
                        high += most;
                    }

                    readings.Add(new(here, new(low), new(high), continues, rollovers));
                }
            }

            return (new(readings, refused, gaps, unusual, Cap, Most), readings.Count, wild);
        }
    }

    private static decimal? Unusually(decimal kilometres, DateOnly from, DateOnly until, decimal cap)
    {
        var perDay = kilometres / Math.Max(1, until.DayNumber - from.DayNumber);
        return perDay > cap && until > from ? perDay : null;
    }

    /// <summary>Median of the plain forward rates, kilometres a day; zero with fewer than so many of them.</summary>
    private static decimal OwnRate(IReadOnlyList<Drums> drums, int least)
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
        return rates.Count < least ? 0 : rates[(rates.Count - 1) / 2];
    }
}
