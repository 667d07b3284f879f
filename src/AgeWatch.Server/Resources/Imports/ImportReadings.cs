using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Resources.Vehicles;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportReadings(AgeWatchContext db, ImportBook book)
{
    public Taken Take(Cells cells)
    {
        if (ImportShared.FindVehicle(cells, book) is not { } vehicle || cells.Required(Columns.Odometer) is null
            || cells.Odometer(Columns.Odometer) is not { } shown || cells.Required(Columns.ReadOn) is null
            || cells.Day(Columns.ReadOn) is not { } on)
        {
            return default;
        }

        OdometerReadingRecord told = new()
        {
            On = on,
            Value = shown.Value,
            Unit = shown.Unit ?? cells.Word<DistanceUnit>(Columns.Unit),
            Instrument = null,
        };
        var instruments = ImportBook.Of(book.Instruments, vehicle.Id);
        List<Odometer> odometers = [.. instruments.Select(i => i.ToOdometer())];
        if (cells.Refuse(
            OdometerReadingRecord.Check(told, odometers, book.Today),
            member => member == nameof(told.On) ? Columns.ReadOn : Columns.Odometer))
        {
            return default;
        }

        var shownBy = OdometerReadingRecord.Possible(told, odometers)[0].Id;
        var instrument = instruments.Single(i => i.Label == shownBy);
        var readings = ImportBook.Of(book.Readings, vehicle.Id);
        var thousandths = ImportBook.Thousandths(shown)!.Value;
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
