using System.Collections.Concurrent;

namespace AgeWatch.Core.Usage;

/// <summary>When a distance is reached.</summary>
/// <param name="Early">It governs: with even use passed before it in about alpha of all cases, with uneven use more
/// often. Null: not within the calendar.</param>
public readonly record struct ReachedOn(DateOnly? Early, DateOnly? Likely, DateOnly? Late);

/// <summary>A vehicle's distance so far and its rate, worked out once, when first asked for, and asked many
/// times.</summary>
public sealed class UsageModel
{
    /// <summary>One-sided chance that a distance is passed before its early day, with even use; with uneven use it is
    /// more.</summary>
    public const double DefaultAlpha = 0.05;

    private readonly UsageFacts _facts;
    private readonly IShownDistances[] _subjects;
    private readonly DateOnly? _knownOn;
    private readonly DateOnly? _today;
    private readonly UseClock _clock;
    private readonly IReadOnlyList<string>?[] _sentences = new IReadOnlyList<string>?[2];


    // Two threads may both work one of these out; they come to the same.
    private CanonicalDistance? _distance;
    private UsageModel[]? _alternatives;
    private ConcurrentDictionary<string, UsageModel>? _supposed;
    private UsageRate? _high;
    private UsageRate? _low;

    private UsageModel(
        UsageFacts facts, IShownDistances[] subjects, DateOnly? knownOn, double alpha, DateOnly? today)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(alpha);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(alpha, 0.5);
        _facts = facts;
        _subjects = subjects;
        _knownOn = knownOn;
        Alpha = alpha;
        _today = today ?? knownOn;
        _clock = new(facts.Season, facts.Standing, _today);
    }

    /// <param name="knownOn">Readings after it play no part; null: all do.</param>
    /// <param name="alpha">More than 0, less than 0.5.</param>
    public static UsageModel Of(UsageFacts facts, DateOnly? knownOn = null, double alpha = DefaultAlpha) =>
        new(facts, [], knownOn, alpha, null);

    /// <summary>The model of a vehicle, with what was shown whenever one of its subjects was fitted, serviced or
    /// inspected.</summary>
    /// <param name="today">Until when a vehicle that still stands is known to stand; null: the same as <paramref
    /// name="knownOn"/>.</param>
    public static UsageModel For(
        UsageFacts facts, IEnumerable<IShownDistances> subjects, DateOnly? knownOn = null,
        double alpha = DefaultAlpha, DateOnly? today = null) =>
        new(facts, subjects as IShownDistances[] ?? [.. subjects], knownOn, alpha, today);

    /// <summary>The same vehicle, supposed that other facts held. It is kept: many subjects of one vehicle suppose the
    /// same.</summary>
    /// <param name="name">What is supposed.</param>
    /// <param name="change">Of all readings, those of the subjects among them.</param>
    internal UsageModel Supposed(string name, Func<UsageFacts, UsageFacts> change) =>
        (_supposed ??= []).GetOrAdd(name, _ => new(change(WithShown()), [], _knownOn, Alpha, _today));

    /// <summary>The same, supposed that another track of its distance is right.</summary>
    /// <param name="contradictions">Whether readings that contradict the track are still followed up.</param>
    internal UsageModel Supposed(string name, CanonicalDistance track, bool contradictions) =>
        (_supposed ??= []).GetOrAdd(name, _ => new(_facts, [], _knownOn, Alpha, _today)
        {
            _distance = track,
            _alternatives = contradictions ? [.. Alternatives] : [],
        });

    public double Alpha { get; }

    public CanonicalDistance Distance => _distance ??= CanonicalDistance.Of(WithShown(), _knownOn);

    /// <summary>The same if a reading that contradicts the others were right: the worst of all counts.</summary>
    internal IReadOnlyList<UsageModel> Alternatives =>
        _alternatives ??= [.. Distance.Alternatives.Select(track =>
            new UsageModel(_facts, [], _knownOn, Alpha, _today) { _distance = track })];

    /// <summary>Its owner says how far it goes: then "never" is somebody's word.</summary>
    internal bool IsDeclared => _facts.DeclaredPerYear is not null;

    /// <summary>What the first reading shows is all that the vehicle had run: that odometer was not fitted later, and
    /// its drums do not come round in the life of a car.</summary>
    internal bool CountsSinceNew(DateSpan? built)
    {
        const int DrumsThatComeRound = 5;
        if (Distance.Readings is not [var first, ..])
        {
            return true;
        }

        var odometer = _facts.Instruments.Count == 1
            ? _facts.Instruments[0]
            : _facts.Instruments.FirstOrDefault(one => one.Id == first.Shown.Instrument);
        return odometer is null
            || !(odometer.Digits <= DrumsThatComeRound)
            && (odometer.FittedOn is not { } fitted || fitted <= built?.Last);
    }

    public RateBasis Basis => Rate.Basis;

    /// <summary>Steps between readings that the rate rests on.</summary>
    public int Steps => Rate.Steps;

    /// <summary>Distance a year by all readings; with a season, a season-year. Null without two readings.</summary>
    public Distance? OverallPerYear => PerYear(Rate.Overall);

    /// <summary>The same by the weighted Theil-Sen slope; null with fewer than two steps.</summary>
    public Distance? CrossCheckPerYear => PerYear(Rate.CrossCheck);

    /// <summary>What the prediction uses; null when nothing is known.</summary>
    public Distance? UsedPerYear => Basis == RateBasis.None ? null : PerYear(Rate.Rate);

    /// <summary>The two rates differ by more than 30 %: the higher is used, both are shown.</summary>
    public bool RatesDisagree => Rate.Disagrees;

    /// <summary>The last accepted reading; null when there is none.</summary>
    public CanonicalReading? Last => Distance.Readings.Count > 0 ? Distance.Readings[^1] : null;

    internal UsageRate Rate => _high ??= RateOf(reading => reading.High);

    private UsageRate Low => _low ??= Distance.Gaps.Count == 0 ? Rate : RateOf(reading => reading.Low);

    internal UseClock Clock => _clock;

    /// <summary>When <paramref name="remaining"/> more is covered after <paramref name="from"/>, the last reading as a
    /// rule.</summary>
    public ReachedOn After(DateOnly from, Distance remaining) =>
        After(from, (double)remaining.Kilometres, (double)remaining.Kilometres);

    internal ReachedOn After(DateOnly from, double leastKm, double mostKm)
    {
        var trips = _facts.PlannedTrips.Count == 0
            ? []
            : _facts.PlannedTrips.Where(trip => trip.Until >= from).OrderBy(trip => trip.From).ToArray();
        var early = Early(km => Rate.Horizons(km).Early);
        if (early is null && Claimed().Select(claim => claim.Rate).DefaultIfEmpty(0).Max() is > 0 and var claimed)
        {
            // That it stood so far does not say that it always will: what is claimed of it counts then.
            early = Early(km => km / claimed);
        }

        return new(
            early,
            Walk(from, leastKm, trips, trip => trip.Until, km => Rate.Horizons(km).Likely, _clock.IsSeasonal),
            Walk(from, mostKm, trips, trip => trip.Until, km => Low.Horizons(km).Late, _clock.IsSeasonal));

        DateOnly? Early(Func<double, double?> horizon) =>
            Walk(from, leastKm, trips, trip => trip.From < from ? from : trip.From, horizon, ceiling: false);
    }

    /// <summary>The rate and what was noticed about the readings, in sentences; built once.</summary>
    internal IReadOnlyList<string> Sentences(DistanceUnit unit) =>
        _sentences[(int)unit] ??= UsageSentences.Of(this, unit, _clock.IsSeasonal);

    private DateOnly? Walk(
        DateOnly from, double km, PlannedTrip[] trips, Func<PlannedTrip, DateOnly> on, Func<double, double?> horizon,
        bool ceiling)
    {
        var start = _clock.At(from);
        var reached = Day(km);
        foreach (var trip in trips.OrderBy(on))
        {
            var day = on(trip);
            if (reached <= day)
            {
                return reached;
            }

            km -= (double)trip.Distance.Kilometres;
            reached = Day(km);
            if (reached is { } sooner && sooner <= day)
            {
                return day;
            }
        }

        return reached;

        DateOnly? Day(double left) =>
            left <= 0 ? from
            : horizon(left) is not { } h || double.IsInfinity(h) ? null
            : ceiling ? _clock.FirstAtOrAfter(start + h)
            : _clock.DayDuring(start + h);
    }

    private UsageFacts WithShown()
    {
        HashSet<ShownDistance> shown = [];
        List<ShownDistance> readings = [];
        foreach (var reading in _facts.Readings)
        {
            Add(reading);
        }

        foreach (var subject in _subjects)
        {
            subject.AddShown(Add);
        }

        return readings.Count == _facts.Readings.Count ? _facts : _facts with { Readings = readings };

        void Add(ShownDistance reading)
        {
            if (shown.Add(reading))
            {
                readings.Add(reading);
            }
        }
    }

    private Distance? PerYear(double? perUnit) =>
        perUnit is { } rate ? new Distance((decimal)Math.Round(rate * _clock.PerYear, 6)) : null;

    private UsageRate RateOf(Func<CanonicalReading, Distance> total)
    {
        var claimed = Claimed();
        var readings = Distance.Readings;
        List<double> x = [];
        List<double> y = [];
        List<(double X, double Km)> steps = [];
        var pendingX = 0.0;
        var pendingKm = 0.0;
        for (var i = 0; i < readings.Count; i++)
        {
            if (i > 0 && readings[i].Continues)
            {
                pendingX += _clock.At(readings[i].On) - _clock.At(readings[i - 1].On);
                pendingKm += (double)(total(readings[i]) - total(readings[i - 1])).Kilometres;

                // Readings on one day, or on two days out of season, belong to one step.
                if (pendingX > 0)
                {
                    steps.Add((pendingX, pendingKm));
                    (pendingX, pendingKm) = (0, 0);
                }
            }
            else
            {
                (pendingX, pendingKm) = (0, 0);
            }

            x.Add(_clock.At(readings[i].On));
            y.Add((double)total(readings[i]).Kilometres);
        }

        if (pendingKm > 0 && steps.Count > 0)
        {
            steps[^1] = (steps[^1].X, steps[^1].Km + pendingKm);
        }

        var span = steps.Sum(step => step.X);
        double? overall = steps.Count > 0 ? steps.Sum(step => step.Km) / span : null;
        if (overall is 0 && claimed.Length == 0)
        {
            return new() { Basis = RateBasis.None, Overall = 0, Span = span, Steps = steps.Count };
        }

        if (overall is not { } rate || steps.Count < 2 || rate == 0)
        {
            var rates = claimed.Select(claim => claim.Rate).Concat(overall is { } own ? [own] : []).ToArray();
            return rates.Length == 0
                ? new() { Basis = RateBasis.None }
                : new()
                {
                    Alone = overall is not null && _facts.DeclaredPerYear is null,
                    Basis = claimed.Length == 0 || overall >= rates.Max()
                        ? RateBasis.OneStep
                        : claimed.MaxBy(claim => claim.Rate).Basis,
                    Rate = rates.Max(),
                    LowRate = claimed.Where(claim => claim.Basis != RateBasis.Fleet).Select(claim => claim.Rate)
                        .Concat(overall is { } slow ? [slow] : []).DefaultIfEmpty(0).Min(),
                    Overall = overall,
                    Span = span,
                    Steps = steps.Count,
                };
        }

        var crossCheck = TheilSen.WeightedSlope(x, y);
        var variance = steps.Sum(step =>
            (step.Km - rate * step.X) * (step.Km - rate * step.X) / step.X) / (steps.Count - 1);
        var disagrees = crossCheck is { } check && Math.Abs(rate - check) > 0.3 * Math.Abs(check);
        return new()
        {
            Basis = RateBasis.Readings,
            Rate = disagrees ? Math.Max(rate, crossCheck!.Value) : rate,
            LowRate = disagrees ? Math.Min(rate, crossCheck!.Value) : rate,
            Overall = rate,
            CrossCheck = crossCheck,
            Variance = variance,
            Span = span,
            Steps = steps.Count,
            Quantile = StudentQuantile.Of(steps.Count - 1, Alpha),
        };
    }

    private (RateBasis Basis, double Rate)[] Claimed()
    {
        List<(RateBasis, double)> claimed = [];
        if (_facts.DeclaredPerYear is { } declared)
        {
            claimed.Add((RateBasis.Declared, (double)declared.Kilometres / _clock.PerYear));
        }

        if (_facts.FleetPerYear is { } fleet)
        {
            claimed.Add((RateBasis.Fleet, (double)fleet.Kilometres / _clock.PerYear));
        }

        return [.. claimed];
    }
}
