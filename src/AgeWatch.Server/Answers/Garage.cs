using AgeWatch.Core;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Answers;

/// <summary>Everything remembered about one vehicle that an answer can rest on; without a vehicle: the shelf.</summary>
internal sealed partial class Garage(Vehicle? vehicle)
{
    private Pile<Instrument> _instruments;
    private Pile<OdometerReading> _readings;
    private Pile<HourReading> _hours;
    private Pile<VehiclePeriod> _periods;
    private Pile<StoredComponent> _components;
    private Pile<StoredTask> _tasks;

    public Vehicle? Vehicle => vehicle;

    public IReadOnlyList<Instrument> Instruments => _instruments.Rows;

    /// <summary>In the order of their days.</summary>
    public IReadOnlyList<OdometerReading> Readings => _readings.Rows;

    /// <summary>In the order of their days.</summary>
    public IReadOnlyList<HourReading> Hours => _hours.Rows;

    public IReadOnlyList<VehiclePeriod> Periods => _periods.Rows;

    public IReadOnlyList<StoredComponent> Components => _components.Rows;

    public IReadOnlyList<StoredTask> Tasks => _tasks.Rows;

    /// <summary>What Core calls the instruments, in their order.</summary>
    public IReadOnlyList<string> InstrumentNames { get; private set; } = [];

    /// <summary>The club's figure for a year's use of such vehicles; null: it has none.</summary>
    public long? UsualMetresPerYear { get; private set; }

    /// <summary>Since when it stands with no end on record; null: it does not.</summary>
    public DateOnly? StillStandingFrom { get; private set; }

    /// <summary>As much of a vehicle as tells how far it goes.</summary>
    public static Garage OfUse(
        Vehicle vehicle, IEnumerable<Instrument> instruments, IEnumerable<OdometerReading> readings,
        IEnumerable<VehiclePeriod> periods)
    {
        Garage garage = new(vehicle);
        foreach (var instrument in instruments)
        {
            garage._instruments.Add(instrument);
        }

        foreach (var reading in readings)
        {
            garage._readings.Add(reading);
        }

        foreach (var period in periods)
        {
            garage._periods.Add(period);
        }

        garage.Arrange();
        return garage;
    }

    // Once all is there, in an order that does not hang on the database.
    private void Arrange()
    {
        _instruments.Sort((a, b) => a.Id.CompareTo(b.Id));
        _readings.Sort((a, b) => (a.ReadOn, a.Id).CompareTo((b.ReadOn, b.Id)));
        _hours.Sort((a, b) => (a.ReadOn, a.Id).CompareTo((b.ReadOn, b.Id)));
        _periods.Sort((a, b) => a.Id.CompareTo(b.Id));
        _components.Sort((a, b) => a.Row.Id.CompareTo(b.Row.Id));
        _tasks.Sort((a, b) => a.Row.Id.CompareTo(b.Row.Id));
        InstrumentNames = [.. Instruments.Select(instrument => instrument.Id.ToString())];
        StillStandingFrom = Periods.Where(p => p is { Kind: VehiclePeriodKind.Standing, UntilOn: null })
            .Min(p => (DateOnly?)p.FromOn);
        foreach (var component in Components)
        {
            component.Arrange();
        }

        foreach (var task in Tasks)
        {
            task.Arrange();
        }
    }
}

internal sealed class StoredComponent(ComponentSlice row)
{
    private Pile<EvidenceSlice> _evidence;
    private Pile<Fitting> _fittings;
    private Pile<FindingRow> _findings;
    private Pile<DeferralRow> _deferrals;
    private Pile<LimitRow> _limits;

    public ComponentSlice Row => row;

    public IReadOnlyList<EvidenceSlice> Evidence => _evidence.Rows;

    public IReadOnlyList<Fitting> Fittings => _fittings.Rows;

    public IReadOnlyList<FindingRow> Findings => _findings.Rows;

    public IReadOnlyList<DeferralRow> Deferrals => _deferrals.Rows;

    public IReadOnlyList<LimitRow> Limits => _limits.Rows;

    /// <summary>Each other vehicle that parts of this garage have been on, with what tells how far it went and how warm
    /// it was kept.</summary>
    public IReadOnlyDictionary<Guid, Garage>? Elsewhere { get; set; }

    public void Add(EvidenceSlice one) => _evidence.Add(one);

    public void Add(Fitting one) => _fittings.Add(one);

    public void Add(FindingRow one) => _findings.Add(one);

    public void Add(DeferralRow one) => _deferrals.Add(one);

    public void Add(LimitRow one) => _limits.Add(one);

    public void Arrange()
    {
        _evidence.Sort((a, b) => a.Id.CompareTo(b.Id));
        _fittings.Sort((a, b) => (a.FittedOn, a.Id).CompareTo((b.FittedOn, b.Id)));
        _findings.Sort((a, b) => a.Id.CompareTo(b.Id));
        _deferrals.Sort((a, b) => a.Id.CompareTo(b.Id));
        _limits.Sort((a, b) => a.Id.CompareTo(b.Id));
    }
}

internal sealed class StoredTask(ServiceTask row)
{
    private Pile<ServiceRecord> _records;
    private Pile<FindingRow> _findings;
    private Pile<DeferralRow> _deferrals;
    private Pile<LimitRow> _limits;

    public ServiceTask Row => row;

    public IReadOnlyList<ServiceRecord> Records => _records.Rows;

    public IReadOnlyList<FindingRow> Findings => _findings.Rows;

    public IReadOnlyList<DeferralRow> Deferrals => _deferrals.Rows;

    public IReadOnlyList<LimitRow> Limits => _limits.Rows;

    public void Add(ServiceRecord one) => _records.Add(one);

    public void Add(FindingRow one) => _findings.Add(one);

    public void Add(DeferralRow one) => _deferrals.Add(one);

    public void Add(LimitRow one) => _limits.Add(one);

    public void Arrange()
    {
        _records.Sort((a, b) => (a.DoneOn, a.Id).CompareTo((b.DoneOn, b.Id)));
        _findings.Sort((a, b) => a.Id.CompareTo(b.Id));
        _deferrals.Sort((a, b) => a.Id.CompareTo(b.Id));
        _limits.Sort((a, b) => a.Id.CompareTo(b.Id));
    }
}

/// <summary>A list that costs nothing while it is empty: of most things there are none.</summary>
internal struct Pile<T>
{
    private List<T>? _rows;

    public readonly IReadOnlyList<T> Rows => _rows ?? (IReadOnlyList<T>)[];

    public void Add(T row) => (_rows ??= new(1)).Add(row);

    public readonly void Sort(Comparison<T> order) => _rows?.Sort(order);
}
