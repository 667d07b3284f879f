using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Resources.Vehicles;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportReadings(AgeWatchContext db, ImportRecords book)
{
    public ImportedRow Take(RowReader reader)
    {
        if (ImportShared.FindVehicle(reader, book) is not { } vehicle || reader.Required(Columns.Odometer) is null
            || reader.Odometer(Columns.Odometer) is not { } shown || reader.Required(Columns.ReadOn) is null
            || reader.Day(Columns.ReadOn) is not { } on)
        {
            return default;
        }

        OdometerReadingRecord told = new()
        {
            On = on,
            Value = shown.Value,
            Unit = shown.Unit ?? reader.Word<DistanceUnit>(Columns.Unit),
            Instrument = null,
        };
        var instruments = ImportRecords.Of(book.Instruments, vehicle.Id);
        List<Odometer> odometers = [.. instruments.Select(i => i.ToOdometer())];
        if (reader.Refuse(
            OdometerReadingRecord.Check(told, odometers, book.Today),
            member => member == nameof(told.On) ? Columns.ReadOn : Columns.Odometer))
        {
            return default;
        }

        var shownBy = OdometerReadingRecord.Possible(told, odometers)[0].Id;
        var instrument = instruments.Single(i => i.Label == shownBy);
        var readings = ImportRecords.Of(book.Readings, vehicle.Id);
        var thousandths = ImportRecords.Thousandths(shown)!.Value;
        if (readings.Find(r =>
            r.InstrumentId == instrument.Id && r.ReadOn == on && r.Thousandths == thousandths) is { } known)
        {
            return new(known, false, vehicle.Id);
        }

        var reading = new OdometerReading
        {
            ClubId = book.ClubId,
            Id = Guid.CreateVersion7(),
            VehicleId = vehicle.Id,
            InstrumentId = instrument.Id,
            ReadOn = on,
            Thousandths = thousandths,
            NotedBy = ImportShared.Noter,
            CreatedAt = book.Now,
        };
        readings.Add(reading);
        db.OdometerReadings.Add(reading);
        return new(reading, true, vehicle.Id);
    }
}
