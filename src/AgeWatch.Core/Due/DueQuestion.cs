using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>Everything that a due answer depends on: the facts and the day. No clock, no hidden input.</summary>
public sealed record DueQuestion
{
    /// <summary>The day asked about, past or future.</summary>
    public required DateOnly AsOf { get; init; }

    /// <summary>
    /// The day on which the facts are stated, today as a rule. Facts dated after it cannot be known and are set aside.
    /// Null: every fact counts. It does not depend on <see cref="AsOf"/>: a past day is judged by what is known now.
    /// </summary>
    public DateOnly? KnownOn { get; init; }

    /// <summary>
    /// Today, when <see cref="KnownOn"/> is another day: what goes on without an end is known to go on until then, and
    /// what begins later has not begun. Null: the same as <see cref="KnownOn"/>.
    /// </summary>
    public DateOnly? Today { get; init; }

    internal DateOnly? GoesOnUntil => Today ?? KnownOn;

    /// <summary>How many days before the earliest due day a limit is due soon. Zero or more.</summary>
    public int WarningDays { get; init; } = 60;

    public required KindRules Kind { get; init; }

    public VehicleFacts Vehicle { get; init; } = VehicleFacts.Unknown;

    /// <summary>A <see cref="ComponentFacts"/> or a <see cref="ServiceTaskFacts"/>.</summary>
    public required DueSubject Subject { get; init; }

    /// <summary>Law to choose from; the vehicle's country decides.</summary>
    public IReadOnlyList<CountryLaw> Laws { get; init; } = PartCatalogue.BuiltIn.Laws;

    /// <summary>One-sided chance that a distance limit is passed before its early day, with even use; with uneven use
    /// it is more.</summary>
    public double Alpha { get; init; } = UsageModel.DefaultAlpha;

    /// <summary>
    /// The vehicle's usage worked out beforehand with <see cref="UsageModel.For"/>; it saves the work when many
    /// subjects of one vehicle are assessed. Null: it is worked out here.
    /// </summary>
    public UsageModel? Usage { get; init; }
}

/// <summary>The component or service task asked about.</summary>
public abstract record DueSubject : IShownDistances
{
    private protected DueSubject() { } // Closed: the two cases below are all there are.

    public IReadOnlyList<Finding> Findings { get; init; } = [];

    /// <summary>Limits entered for this very part or task: labels, maker's figures, law.</summary>
    public IReadOnlyList<Limit> OwnLimits { get; init; } = [];

    /// <summary>The latest decision to run past a limit; null: none.</summary>
    public Deferral? Deferral { get; init; }

    /// <summary>What the vehicle's hours meter showed when this was fitted, serviced or inspected.</summary>
    public abstract IEnumerable<HoursReading> ShownHours { get; }

    /// <summary>What the odometer showed whenever something was done.</summary>
    internal abstract void AddShown(Action<ShownDistance> add);

    void IShownDistances.AddShown(Action<ShownDistance> add) => AddShown(add);
}

/// <summary>One physical part.</summary>
public sealed record ComponentFacts : DueSubject
{
    /// <summary>It left the factory on this vehicle, so it is not younger than the vehicle.</summary>
    public bool Original { get; init; }

    public IReadOnlyList<Evidence> Evidence { get; init; } = [];

    /// <summary>Where it has been, in the order in which it happened; the present vehicle last, if it is on one. Empty:
    /// it was never anywhere else. The day of the present fitting stands among the evidence too.</summary>
    public IReadOnlyList<Stay> Stays { get; init; } = [];

    public override IEnumerable<HoursReading> ShownHours
    {
        get
        {
            foreach (var evidence in Evidence)
            {
                if (evidence.ShownHours is { } shown)
                {
                    yield return shown;
                }
            }

            foreach (var finding in Findings)
            {
                if (finding.ShownHours is { } shown)
                {
                    yield return shown;
                }
            }
        }
    }

    internal override void AddShown(Action<ShownDistance> add)
    {
        foreach (var evidence in Evidence)
        {
            if (evidence.Odometer is { } shown)
            {
                add(shown);
            }
        }

        foreach (var finding in Findings)
        {
            if (finding.Odometer is { } shown)
            {
                add(shown);
            }
        }

        foreach (var stay in Stays)
        {
            if (!stay.OnThisVehicle)
            {
                continue;
            }

            if (stay.ShownFirst is { } first)
            {
                add(first);
            }

            if (stay.ShownLast is { } last)
            {
                add(last);
            }
        }
    }
}

/// <summary>Repeated work with no part of its own.</summary>
public sealed record ServiceTaskFacts : DueSubject
{
    /// <summary>The times it was done, in any order; the latest starts the clock. Empty: never on record.</summary>
    public IReadOnlyList<DoneEvent> Done { get; init; } = [];

    public override IEnumerable<HoursReading> ShownHours
    {
        get
        {
            foreach (var done in Done)
            {
                if (done.ShownHours is { } shown)
                {
                    yield return shown;
                }
            }

            foreach (var finding in Findings)
            {
                if (finding.ShownHours is { } shown)
                {
                    yield return shown;
                }
            }
        }
    }

    internal override void AddShown(Action<ShownDistance> add)
    {
        foreach (var done in Done)
        {
            if (done.Odometer is { } shown)
            {
                add(shown);
            }
        }

        foreach (var finding in Findings)
        {
            if (finding.Odometer is { } shown)
            {
                add(shown);
            }
        }
    }
}

/// <summary>One time that a service task was done.</summary>
public sealed record DoneEvent
{
    public required DateOnly On { get; init; }

    public ShownDistance? Odometer { get; init; }

    public decimal? Hours { get; init; }

    internal HoursReading? ShownHours => Hours is { } hours ? new(On, hours) : null;

    /// <summary>When it was due, if it was put off: an overrun is taken off the next interval. Null: it was done in
    /// time.</summary>
    public DateOnly? DueOn { get; init; }

    /// <summary>It was put off: where <see cref="DueOn"/> is not told, it was due an interval after the time
    /// before.</summary>
    public bool WasPutOff { get; init; }

    /// <summary>What the odometer was to show when it was due.</summary>
    public ShownDistance? DueShown { get; init; }

    /// <summary>What the hours meter was to show when it was due.</summary>
    public decimal? DueHours { get; init; }

    public string? DoneBy { get; init; }
}
