using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Answers;

internal sealed partial class StoredVehicle
{
    private const string Shelf = "place = 'Shelf'";

    /// <summary>One trip to the database, however many vehicles; in the order of the ids.</summary>
    /// <param name="also">What else the caller wants from the same trip; it knows the list
    /// <c>vehicles</c>.</param>
    /// <param name="asOf">A past day: the parts that were on it then, of one vehicle; null: those that are now.</param>
    public static async Task<List<StoredVehicle>> LoadAsync(
        AgeWatchContext db, Guid clubId, IReadOnlyCollection<Guid> vehicleIds, CancellationToken stop,
        Action<RowBatch>? also = null, DateOnly? asOf = null)
    {
        var read = new RowBatch(db).With("vehicles", vehicleIds);
        var onThem = $"vehicle_id {read.In("vehicles")}";
        var vehicles = read.Rows<Vehicle>($"id {read.In("vehicles")}");

        // Before the instruments, so that none can be missing that a reading names.
        var readings = read.Rows<OdometerReading>(onThem);
        var instruments = read.Rows<Instrument>(onThem);
        var hours = read.Rows<HourReading>(onThem);
        var periods = read.Rows<VehiclePeriod>(onThem);
        var usual = read.Rows<UsualDistance>();
        ComponentRows components = new(read, asOf is { } then
            ? $"id {read.With("then", then).InThose<Fitting>(OnThem(onThem), column: "component_id")}"
            : onThem);
        TaskRows tasks = new(read, onThem);
        also?.Invoke(read);
        await read.ExecuteAsync(stop);

        // What came or went between two of the statements belongs to no vehicle, and another look will find it.
        var storedVehicles = vehicles.ToDictionary(vehicle => vehicle.Id, vehicle => new StoredVehicle(vehicle));
        instruments.ForEach(row => storedVehicles.GetValueOrDefault(row.VehicleId)?._instruments.Add(row));
        readings.ForEach(row => storedVehicles.GetValueOrDefault(row.VehicleId)?._readings.Add(row));
        hours.ForEach(row => storedVehicles.GetValueOrDefault(row.VehicleId)?._hours.Add(row));
        periods.ForEach(row => storedVehicles.GetValueOrDefault(row.VehicleId)?._periods.Add(row));
        foreach (var stored in storedVehicles.Values)
        {
            stored.UsualMetresPerYear = usual.Find(row => row.Kind == stored.Vehicle!.Kind)?.Metres;
        }

        Guid? here = asOf is null ? null : vehicleIds.Single();
        (await components.DealAsync(db, clubId, stop, here))
            .ForEach(
                part => storedVehicles.GetValueOrDefault(here ?? part.Row.VehicleId!.Value)?._components.Add(part));
        tasks.Deal().ForEach(task => storedVehicles.GetValueOrDefault(task.Row.VehicleId)?._tasks.Add(task));
        List<StoredVehicle> all = [.. storedVehicles.Values.OrderBy(stored => stored.Vehicle!.Id)];
        all.ForEach(stored => stored.Arrange());
        return all;
    }

    private static string OnThem(string onThem) =>
        $"{onThem} AND (fitted_on IS NULL OR fitted_on <= @then) AND (taken_off_on IS NULL OR taken_off_on > @then)";

    public static Task<StoredVehicle> LoadShelfAsync(AgeWatchContext db, Guid clubId, CancellationToken stop) =>
        LoadShelfAsync(db, clubId, new(db), Shelf, stop);

    /// <summary>A part that was on no vehicle on a past day, wherever it is now.</summary>
    public static Task<StoredVehicle> LoadOffAsync(AgeWatchContext db, Guid clubId, Guid id, CancellationToken stop) =>
        LoadShelfAsync(db, clubId, new RowBatch(db).With("part", id), "id = @part", stop);

    /// <summary>Only those parts of the shelf; one part there says nothing of another.</summary>
    public static Task<StoredVehicle> LoadShelfAsync(
        AgeWatchContext db, Guid clubId, IReadOnlyCollection<Guid> ids, CancellationToken stop)
    {
        var read = new RowBatch(db).With("parts", ids);
        return LoadShelfAsync(db, clubId, read, $"{Shelf} AND id {read.In("parts")}", stop);
    }

    /// <summary>The next parts of the shelf by their ids.</summary>
    /// <param name="after">Not included; null: from the first.</param>
    public static Task<StoredVehicle> LoadShelfAsync(
        AgeWatchContext db, Guid clubId, Guid? after, int most, CancellationToken stop) =>
        LoadShelfAsync(db, clubId, new RowBatch(db)
            .With("after", after ?? Guid.Empty)
            .With("most", most), $"{Shelf} AND id > @after", stop, "ORDER BY id LIMIT @most");

    private static async Task<StoredVehicle> LoadShelfAsync(
        AgeWatchContext db, Guid clubId, RowBatch read, string where, CancellationToken stop, string limit = "")
    {
        ComponentRows components = new(read, where, limit);
        await read.ExecuteAsync(stop);
        StoredVehicle shelf = new(null);
        (await components.DealAsync(db, clubId, stop)).ForEach(part => shelf._components.Add(part));
        shelf.Arrange();
        return shelf;
    }

    private static async Task<Dictionary<Guid, StoredVehicle>> LoadUseAsync(
        AgeWatchContext db, IReadOnlyCollection<Guid> vehicleIds, CancellationToken stop)
    {
        var read = new RowBatch(db).With("vehicles", vehicleIds);
        var onThem = $"vehicle_id {read.In("vehicles")}";
        var vehicles = read.Rows<Vehicle>($"id {read.In("vehicles")}");
        var readings = read.Rows<OdometerReading>(onThem);
        var instruments = read.Rows<Instrument>(onThem);
        var periods = read.Rows<VehiclePeriod>(onThem);
        await read.ExecuteAsync(stop);
        return vehicles.ToDictionary(vehicle => vehicle.Id, vehicle => OfUse(
            vehicle,
            instruments.Where(row => row.VehicleId == vehicle.Id),
            readings.Where(row => row.VehicleId == vehicle.Id),
            periods.Where(row => row.VehicleId == vehicle.Id)));
    }

    private sealed class ComponentRows(RowBatch read, string where, string limit = "")
    {
        private readonly List<ComponentSlice> _components = read.Rows<Component, ComponentSlice>(where, limit);
        private readonly List<EvidenceSlice> _evidence = read.Rows<EvidenceItem, EvidenceSlice>(
            $"{Of(read, where, limit)} AND withdrawn_at IS NULL");
        private readonly List<Fitting> _fittings = read.Rows<Fitting>(Of(read, where, limit));
        private readonly List<InspectionFinding> _findings = read.Rows<InspectionFinding>(
            $"{Of(read, where, limit)} AND withdrawn_at IS NULL");
        private readonly List<GrantedDeferral> _deferrals = read.Rows<GrantedDeferral>(
            $"{Of(read, where, limit)} AND ended_at IS NULL");
        private readonly List<OwnLimit> _limits = read.Rows<OwnLimit>(Of(read, where, limit));

        /// <param name="here">The vehicle that the parts are looked at on; null: the one they are on.</param>
        public async Task<List<StoredComponent>> DealAsync(
            AgeWatchContext db, Guid clubId, CancellationToken stop, Guid? here = null)
        {
            var all = _components.ConvertAll(row => new StoredComponent(row));
            var parts = all.ToDictionary(part => part.Row.Id);
            _evidence.ForEach(row => parts.GetValueOrDefault(row.ComponentId)?.Add(row));
            _fittings.ForEach(row => parts.GetValueOrDefault(row.ComponentId)?.Add(row));
            _findings.ForEach(row => parts.GetValueOrDefault(row.ComponentId!.Value)?.Add(row));
            _deferrals.ForEach(row => parts.GetValueOrDefault(row.ComponentId!.Value)?.Add(row));
            _limits.ForEach(row => parts.GetValueOrDefault(row.ComponentId!.Value)?.Add(row));

            // What a part saw on other vehicles goes with it; most have never moved, and need no query.
            var elsewhere = _fittings.Where(row =>
                parts.TryGetValue(row.ComponentId, out var part) && (here ?? part.Row.VehicleId) != row.VehicleId)
                .Select(row => row.VehicleId).ToHashSet();
            if (elsewhere.Count > 0)
            {
                var others = await LoadUseAsync(db, elsewhere, stop);
                all.ForEach(part => part.Elsewhere = others);
            }

            return all;
        }

        private static string Of(RowBatch read, string where, string limit) =>
            $"component_id {read.InThose<Component>(where, limit)}";
    }

    private sealed class TaskRows(RowBatch read, string where)
    {
        private readonly List<ServiceTask> _tasks = read.Rows<ServiceTask>(where);
        private readonly List<ServiceRecord> _records = read.Rows<ServiceRecord>(Of(read, where));
        private readonly List<InspectionFinding> _findings = read.Rows<InspectionFinding>(
            $"{Of(read, where)} AND withdrawn_at IS NULL");
        private readonly List<GrantedDeferral> _deferrals = read.Rows<GrantedDeferral>(
            $"{Of(read, where)} AND ended_at IS NULL");
        private readonly List<OwnLimit> _limits = read.Rows<OwnLimit>(Of(read, where));

        public List<StoredTask> Deal()
        {
            var all = _tasks.ConvertAll(row => new StoredTask(row));
            var tasks = all.ToDictionary(task => task.Row.Id);
            _records.ForEach(row => tasks.GetValueOrDefault(row.ServiceTaskId)?.Add(row));
            _findings.ForEach(row => tasks.GetValueOrDefault(row.ServiceTaskId!.Value)?.Add(row));
            _deferrals.ForEach(row => tasks.GetValueOrDefault(row.ServiceTaskId!.Value)?.Add(row));
            _limits.ForEach(row => tasks.GetValueOrDefault(row.ServiceTaskId!.Value)?.Add(row));
            return all;
        }

        private static string Of(RowBatch read, string where) =>
            $"service_task_id {read.InThose<ServiceTask>(where)}";
    }
}
