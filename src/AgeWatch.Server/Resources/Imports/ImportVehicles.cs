using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportVehicles(AgeWatchContext db, ImportBook book)
{
    public Taken Take(Cells cells)
    {
        var reference = cells.Text(Columns.Reference, 100) ?? cells.Text(Columns.Vehicle, 100);
        if (reference is null)
        {
            cells.Wrong<string>(
                Columns.Reference, "missing",
                "A vehicle needs a reference: it is how the other rows and the next import find it.");
            return default;
        }

        var name = cells.Text(Columns.Name);
        var unit = cells.Word<DistanceUnit>(Columns.Unit);
        var vehicle = book.FindVehicle(reference);
        var isNew = vehicle is null;
        if (vehicle is null)
        {
            if (cells.Required(Columns.Name) is null | cells.Required(Columns.Unit) is null || unit is null)
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
        vehicle.Kind = cells.Word<VehicleKind>(Columns.Kind) ?? vehicle.Kind;
        vehicle.DistanceUnit = unit ?? vehicle.DistanceUnit;
        var built = cells.Span(Columns.Built);
        var perYear = cells.Odometer(Columns.PerYear);
        var isRefused = cells.Refuse(
            VehicleRecord.Check(new() { Built = built, DeclaredPerYear = perYear?.Value }, book.Today),
            member => member == nameof(VehicleRecord.Built) ? Columns.Built : Columns.PerYear);
        vehicle.SetBuilt(built ?? vehicle.Built);

        vehicle.Country = Country(cells) ?? vehicle.Country;
        vehicle.RegisteredOn = cells.Day(Columns.Registered) ?? vehicle.RegisteredOn;
        vehicle.Registration = cells.Text(Columns.Registration, 32) ?? vehicle.Registration;
        vehicle.Chassis = cells.Text(Columns.Chassis, 64) ?? vehicle.Chassis;
        vehicle.Storage = cells.Word<StoragePlace>(Columns.Storage) ?? vehicle.Storage;
        vehicle.Notes = cells.Notes() ?? vehicle.Notes;
        if (perYear is { } declared && !isRefused)
        {
            vehicle.DeclaredMetresPerYear =
                (long)decimal.Round(Distance.Of(declared.Value, declared.Unit ?? vehicle.DistanceUnit)
                    .Kilometres * 1000m);
        }

        if (cells.Text(Columns.Member, 200) is { } owner)
        {
            vehicle.MemberId = FindMember(owner) is { } member ? member.Id : cells.WrongValue<Guid>(
                Columns.Member, "no-such-member", "There is no such member, neither in this sheet nor in the club.");
        }

        var changed = db.Entry(vehicle).State != EntityState.Unchanged;
        var instruments = ImportBook.Of(book.Instruments, vehicle.Id);
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

        if (cells.Whole(Columns.Digits, 3, 8) is { } digits)
        {
            changed |= TakeDigits(cells, instruments, digits);
        }

        if (changed)
        {
            vehicle.UpdatedAt = book.Now;
        }

        return new(vehicle, changed, vehicle.Id);
    }

    private bool TakeDigits(Cells cells, List<Instrument> instruments, int digits)
    {
        if (instruments is not [var only])
        {
            cells.Wrong<string>(
                Columns.Digits, instruments.Count == 0 ? "no-such-instrument" : "several-instruments",
                $"The vehicle has {instruments.Count} instruments; note this at the instrument itself.");
            return false;
        }

        only.Digits = digits;
        return db.Entry(only).State != EntityState.Unchanged;
    }

    private Member? FindMember(string name) =>
        book.Members.Find(m => m.Reference == name)
        ?? (book.Members.FindAll(m => string.Equals(m.Name, name, StringComparison.OrdinalIgnoreCase)) is [var only]
            ? only
            : null);

    private static string? Country(Cells cells)
    {
        var country = cells.Text(Columns.Country, 100)?.ToUpperInvariant();
        return country is null or [>= 'A' and <= 'Z', >= 'A' and <= 'Z']
            ? country
            : cells.Wrong<string>(
                Columns.Country, "wrong-format", "Must be two letters (ISO 3166-1 alpha-2), such as GB or IT.");
    }
}
