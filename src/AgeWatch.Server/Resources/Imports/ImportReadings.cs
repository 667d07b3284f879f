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
        reader.Required(Columns.Odometer);
        reader.Required(Columns.ReadOn);
        var day = reader.Day(Columns.ReadOn);
        reader.Refuse(PastDay.Check(day, book.Today, ""), _ => Columns.ReadOn);
        if (ImportShared.FindVehicle(reader, book) is not { } vehicle
            || reader.Odometer(Columns.Odometer) is not { } shown
            || day is not { } on)
        {
            return default;
        }

        OdometerReadingRecord told = new()
        {
            On = on,
            Value = shown.Value,
            Unit = shown.Unit ?? reader.Unit(Columns.Unit),
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

        WarnOfDistance(reader, readings.Where(r => r.InstrumentId == instrument.Id), on, thousandths);
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

    // Rows come in any order, so each is held against all that is known by then.
    private static void WarnOfDistance(
        RowReader reader, IEnumerable<OdometerReading> known, DateOnly on, long thousandths)
    {
        var odd = known.FirstOrDefault(r => r.ReadOn != on && r.ReadOn < on == r.Thousandths > thousandths);
        if (odd is not null)
        {
            reader.Warn(
                Columns.Odometer, "runs-backwards",
                FormattableString.Invariant($"It showed {odd.Thousandths / 1000m:0.###} on {odd.ReadOn:yyyy-MM-dd}. ")
                    + "Both are kept; a reading is wrong, the drums came round, or the instrument was replaced.");
        }
    }
}
