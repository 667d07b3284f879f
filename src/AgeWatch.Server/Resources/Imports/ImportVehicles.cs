using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportVehicles(AgeWatchContext db, ImportRecords book)
{
    public ImportedRow Take(RowReader reader)
    {
        var reference = reader.Text(Columns.Reference, 100) ?? reader.Text(Columns.Vehicle, 100);
        var built = reader.Span(Columns.Built);
        var perYear = reader.Odometer(Columns.PerYear);
        var registered = reader.Day(Columns.Registered);
        VehicleRecord said = new() { Built = built, RegisteredOn = registered, DeclaredPerYear = perYear?.Value };
        var isRefused = reader.Refuse(VehicleRecord.Check(said, book.Today), member => member switch
        {
            nameof(VehicleRecord.Built) => Columns.Built,
            nameof(VehicleRecord.RegisteredOn) => Columns.Registered,
            _ => Columns.PerYear,
        });
        var (country, kind, storage) = (
            Country(reader), reader.Word<VehicleKind>(Columns.Kind), reader.Word<StoragePlace>(Columns.Storage));
        Warn(reader, built, registered, perYear?.Value);
        if (reference is null)
        {
            reader.Wrong<string>(
                Columns.Reference, "missing",
                "A vehicle needs a reference: it is how the other rows and the next import find it.");
            reader.Required(Columns.Name);
            reader.Required(Columns.Unit);
            return default;
        }

        var name = reader.Text(Columns.Name);
        var unit = reader.Unit(Columns.Unit);
        var vehicle = book.FindVehicle(reference);
        var isNew = vehicle is null;
        if (vehicle is null)
        {
            if (reader.Required(Columns.Name) is null | reader.Required(Columns.Unit) is null || unit is null)
            {
                return default;
            }

            vehicle = new Vehicle
            {
                ClubId = book.ClubId,
                Id = Guid.CreateVersion7(),
                Reference = reference,
                Name = name!,
                DistanceUnit = unit.Value,
                CreatedAt = book.Now,
                UpdatedAt = book.Now,
            };
            book.Vehicles.Add(vehicle);
            db.Vehicles.Add(vehicle);
        }

        vehicle.Name = name ?? vehicle.Name;
        vehicle.Kind = kind ?? vehicle.Kind;
        vehicle.DistanceUnit = unit ?? vehicle.DistanceUnit;
        vehicle.SetBuilt(built ?? vehicle.Built);

        vehicle.Country = country ?? vehicle.Country;
        vehicle.RegisteredOn = registered ?? vehicle.RegisteredOn;
        vehicle.Registration = reader.Text(Columns.Registration, 32) ?? vehicle.Registration;
        vehicle.Chassis = reader.Text(Columns.Chassis, 64) ?? vehicle.Chassis;
        vehicle.Storage = storage ?? vehicle.Storage;
        vehicle.Notes = reader.Notes() ?? vehicle.Notes;
        if (perYear is { } declared && !isRefused)
        {
            vehicle.DeclaredMetresPerYear =
                (long)decimal.Round(Distance.Of(declared.Value, declared.Unit ?? vehicle.DistanceUnit)
                    .Kilometres * 1000m);
        }

        if (reader.Text(Columns.Member, 200) is { } owner)
        {
            vehicle.MemberId = FindMember(owner) is { } member ? member.Id : reader.WrongValue<Guid>(
                Columns.Member, "no-such-member", "There is no such member, neither in this sheet nor in the club.");
        }

        var changed = db.Entry(vehicle).State != EntityState.Unchanged;
        var instruments = ImportRecords.Of(book.Instruments, vehicle.Id);
        if (isNew)
        {
            var made = new Instrument
            {
                ClubId = vehicle.ClubId,
                Id = Guid.CreateVersion7(),
                VehicleId = vehicle.Id,
                Label = "odometer",
                Unit = vehicle.DistanceUnit,
            };
            instruments.Add(made);
            db.Instruments.Add(made);
        }

        if (reader.Whole(Columns.Digits, 3, 8) is { } digits)
        {
            changed |= TakeDigits(reader, instruments, digits);
        }

        if (changed)
        {
            vehicle.UpdatedAt = book.Now;
        }

        return new(vehicle, changed, vehicle.Id);
    }

    private bool TakeDigits(RowReader reader, List<Instrument> instruments, int digits)
    {
        if (instruments is not [var only])
        {
            reader.Wrong<string>(
                Columns.Digits, instruments.Count == 0 ? "no-such-instrument" : "several-instruments",
                $"The vehicle has {instruments.Count} instruments; note this at the instrument itself.");
            return false;
        }

        only.Digits = digits;
        return db.Entry(only).State != EntityState.Unchanged;
    }

    private static void Warn(RowReader reader, DateSpan? built, DateOnly? registered, decimal? perYear)
    {
        const int MuchInAYear = 100_000; // Common practice, no source: whatever the unit, more than 270 on every day.
        if (registered < built?.First)
        {
            reader.Warn(Columns.Registered, "before-built", "It was registered before it was built; are both right?");
        }

        if (perYear > MuchInAYear)
        {
            reader.Warn(Columns.PerYear, "much", "This is more than 270 on every day; is it the distance of one year?");
        }
    }

    private Member? FindMember(string name) =>
        book.Members.Find(m => m.Reference == name)
        ?? (book.Members.FindAll(m => string.Equals(m.Name, name, StringComparison.OrdinalIgnoreCase)) is [var only]
            ? only
            : null);

    private static string? Country(RowReader reader)
    {
        var country = reader.Text(Columns.Country, 100)?.ToUpperInvariant();
        return country is null or [>= 'A' and <= 'Z', >= 'A' and <= 'Z']
            ? country
            : reader.Wrong<string>(
                Columns.Country, "wrong-format", "Must be two letters (ISO 3166-1 alpha-2), such as GB or IT.");
    }
}
