using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Answers;

/// <summary>Everything remembered about one vehicle that an answer can rest on; without a vehicle: the shelf.</summary>
internal sealed partial class StoredVehicle(Vehicle? vehicle)
{
    private RowList<Instrument> _instruments;
    private RowList<OdometerReading> _readings;
    private RowList<HourReading> _hours;
    private RowList<VehiclePeriod> _periods;
    private RowList<StoredComponent> _components;
    private RowList<StoredTask> _tasks;

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
    public static StoredVehicle OfUse(
        Vehicle vehicle, IEnumerable<Instrument> instruments, IEnumerable<OdometerReading> readings,
        IEnumerable<VehiclePeriod> periods)
    {
        StoredVehicle stored = new(vehicle);
        foreach (var instrument in instruments)
        {
            stored._instruments.Add(instrument);
        }

        foreach (var reading in readings)
        {
            stored._readings.Add(reading);
        }

        foreach (var period in periods)
        {
            stored._periods.Add(period);
        }

        stored.Arrange();
        return stored;
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
