using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportReadings(AgeWatchContext db, ImportBook book)
{
    public Taken Take(Cells cells)
    {
        if (ImportShared.FindVehicle(cells, book) is not { } vehicle || cells.Required(Columns.Odometer) is null
            || cells.Odometer(Columns.Odometer) is not { } shown || cells.Required(Columns.ReadOn) is null
            || ImportShared.PastDay(cells, book, Columns.ReadOn) is not { } on)
        {
            return default;
        }

        var instruments = ImportBook.Of(book.Instruments, vehicle.Id)
            .FindAll(i => (i.FittedOn is null || i.FittedOn <= on) && (i.RemovedOn is null || on <= i.RemovedOn));
        if (instruments is not [var instrument])
        {
            cells.Wrong<string>(
                Columns.Odometer, "no-single-instrument",
                $"The vehicle had {instruments.Count} instruments on that day; note this reading by hand.");
            return default;
        }

        if ((shown.Unit ?? cells.Word<DistanceUnit>(Columns.Unit)) is { } unit && unit != instrument.Unit)
        {
            cells.Wrong<string>(
                Columns.Odometer, "wrong-unit",
                $"The vehicle's odometer shows {WireNames.Of(instrument.Unit)}. A reading is kept as the drums show "
                    + $"it.");
            return default;
        }

        if (shown.Value >= (decimal)Math.Pow(10, instrument.Digits))
        {
            cells.Wrong<string>(
                Columns.Odometer, "too-many-digits",
                $"The vehicle's odometer has {instrument.Digits} digits and cannot show this.");
            return default;
        }

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
