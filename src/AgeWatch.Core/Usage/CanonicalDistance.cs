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
public sealed partial class CanonicalDistance
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

    /// <summary>What does not fit about a reading and about those that it contradicts, in sentences.</summary>
    public IEnumerable<string> DoubtsAbout(ShownDistance reading, DistanceUnit unit)
    {
        var contradicted = Refused.Where(refused =>
            refused.Reason is RefusalReason.Backwards or RefusalReason.TooFar
            && (refused.Shown == reading || Alternatives.Any(track =>
                track.Readings.Any(one => one.Shown == refused.Shown)
                && track.Readings.All(one => one.Shown != reading))));
        return contradicted.Select(UsageSentences.Of)
            .Concat(Unusual.Where(step => step.Shown == reading).Select(step => UsageSentences.Of(step, unit)));
    }

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

    /// <summary>The same with one gap closed.</summary>
    /// <param name="part">Of the doubt that lies in it: 0 is the least, 1 the most.</param>
    internal CanonicalDistance Closed(OpenGap gap, decimal part)
    {
        var doubt = gap.Increments[^1].Kilometres - gap.Increments[0].Kilometres;
        var (up, down) = (new Distance(doubt * part), new Distance(doubt * (1 - part)));
        return new(
            [.. Readings.Select(reading => reading.On < gap.Until
                ? reading
                : reading with { Low = reading.Low + up, High = reading.High - down })],
            Refused, [.. Gaps.Where(other => other != gap)], Unusual, CapPerDay, MostPerDay);
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
        var instruments = InstrumentReadings.Sort(facts, knownOn, refused);
        var declared = PerDay(facts.DeclaredPerYear);
        var strict = facts.MaxPerDay is not null;
        var rates = RatesOf(instruments);

        // What one wrong reading makes of the rates is left out again: those of the run that it leaves decide.
        var rough = Cap(rates);
        rates = rates.Count < 3 ? rates : RatesOf(new Line(instruments, refused, rough, 0, strict).Through(null).Track);
        var cap = Math.Min(rough, Cap(rates));
        var most = Math.Max(2 * Median(rates), Math.Max(declared, PerDay(facts.FleetPerYear)));
        Line line = new(instruments, refused, cap, most > 0 ? most : PlainCap, strict);
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

        decimal Cap(List<decimal> rates) =>
            facts.MaxPerDay?.Kilometres
            ?? Math.Max(Math.Max(PlainCap, declared), rates.Count < 2 ? 0 : 5 * Median(rates));
    }

    private static decimal PerDay(Distance? perYear) =>
        (perYear?.Kilometres ?? 0) / (decimal)UseClock.DaysPerYear;

    private static decimal? Unusually(decimal kilometres, DateOnly from, DateOnly until, decimal cap)
    {
        var perDay = kilometres / Math.Max(1, until.DayNumber - from.DayNumber);
        return perDay > cap && until > from ? perDay : null;
    }

    /// <summary>The lower median; zero of none.</summary>
    private static decimal Median(List<decimal> rates) => rates.Count == 0 ? 0 : rates[(rates.Count - 1) / 2];

    /// <summary>The plain forward rates, kilometres a day, the lowest first.</summary>
    private static List<decimal> RatesOf(IReadOnlyList<InstrumentReadings> instruments)
    {
        List<decimal> rates = [];
        foreach (var instrument in instruments)
        {
            for (var i = 1; i < instrument.Readings.Count; i++)
            {
                var days = instrument.Readings[i].On.DayNumber - instrument.Readings[i - 1].On.DayNumber;
                var step = InstrumentReadings.Kilometres(
                    instrument.Readings[i]) - InstrumentReadings.Kilometres(instrument.Readings[i - 1]);
                if (days > 0 && step >= 0 && step <= HardCap * days)
                {
                    rates.Add(step / days);
                }
            }
        }

        rates.Sort();
        return rates;
    }

    private static List<decimal> RatesOf(CanonicalDistance track)
    {
        List<decimal> rates = [];
        for (var i = 1; i < track.Readings.Count; i++)
        {
            var (before, here) = (track.Readings[i - 1], track.Readings[i]);
            var days = here.On.DayNumber - before.On.DayNumber;
            if (days > 0 && here.Continues)
            {
                rates.Add((here.Low - before.Low).Kilometres / days);
            }
        }

        rates.Sort();
        return rates;
    }
}
