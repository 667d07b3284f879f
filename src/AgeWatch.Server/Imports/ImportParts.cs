using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Imports;

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
            cells.Wrong<string>(Columns.Odometer, "no-single-instrument", $"The vehicle had {instruments.Count} instruments on that day; note this reading by hand.");
            return default;
        }

        if (shown.Unit is { } unit && unit != instrument.Unit)
        {
            cells.Wrong<string>(Columns.Odometer, "wrong-unit", $"The vehicle's odometer shows {WireNames.Of(instrument.Unit)}. A reading is kept as the drums show it.");
            return default;
        }

        if (shown.Value >= (decimal)Math.Pow(10, instrument.Digits))
        {
            cells.Wrong<string>(Columns.Odometer, "too-many-digits", $"The vehicle's odometer has {instrument.Digits} digits and cannot show this.");
            return default;
        }

        var readings = ImportBook.Of(book.Readings, vehicle.Id);
        var thousandths = ImportBook.Thousandths(shown)!.Value;
        if (readings.Find(r => r.InstrumentId == instrument.Id && r.ReadOn == on && r.Thousandths == thousandths) is { } known)
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

internal sealed class ImportComponents(AgeWatchContext db, ImportBook book)
{
    public Taken Take(Cells cells)
    {
        var reference = cells.Text(Columns.Reference, 100);
        var kind = ImportShared.FindKind(cells);
        var named = cells.Text(Columns.Vehicle, 100) is not null;
        var vehicle = named ? ImportShared.FindVehicle(cells, book) : null;
        if (kind is null || (named && vehicle is null))
        {
            return default;
        }

        var position = cells.Text(Columns.Position, 100);
        var component = Find(cells, reference, kind.Key, vehicle, position, out var isRefused);
        if (isRefused)
        {
            return default;
        }

        if (component is null)
        {
            component = new Component
            {
                ClubId = book.ClubId,
                Id = Guid.CreateVersion7(),
                VehicleId = vehicle?.Id,
                Reference = reference,
                PartKind = kind.Key,
                Place = vehicle is null ? ComponentPlace.Shelf : ComponentPlace.Fitted,
                CreatedAt = book.Now,
                UpdatedAt = book.Now,
            };
            book.Components.Add(component);
            db.Components.Add(component);
        }

        component.PartKind = kind.Key;
        component.Position = position ?? component.Position;
        component.Maker = cells.Text(Columns.Maker, 100) ?? component.Maker;
        component.PartNumber = cells.Text(Columns.PartNumber, 100) ?? component.PartNumber;
        component.Lot = cells.Text(Columns.Lot, 100) ?? component.Lot;
        component.Original = cells.YesNo(Columns.Original) ?? component.Original;
        component.Notes = cells.Notes() ?? component.Notes;

        var touched = db.Entry(component).State != EntityState.Unchanged;
        touched |= TakeMark(cells, component);
        touched |= TakeDocument(cells, component);
        touched |= TakeFitting(cells, component, vehicle);
        if (touched)
        {
            component.UpdatedAt = book.Now;
        }

        return new(component, touched, component.VehicleId);
    }

    private Component? Find(Cells cells, string? reference, string kind, Vehicle? vehicle, string? position, out bool isRefused)
    {
        isRefused = false;
        if (reference is not null)
        {
            var known = book.Components.Find(c => c.Reference == reference);
            if (known is not null && known.VehicleId != vehicle?.Id)
            {
                isRefused = true;
                cells.Wrong<string>(Columns.Vehicle, "elsewhere", "This component is recorded elsewhere. A sheet does not move parts: take it off and fit it, so that its age and distance go along.");
            }

            return known;
        }

        var alike = book.Components.FindAll(c =>
            c.Place != ComponentPlace.Discarded && c.VehicleId == vehicle?.Id && c.PartKind == kind && c.Position == position && c.Reference is null);
        if (alike.Count > 1)
        {
            isRefused = true;
            cells.Wrong<string>(Columns.Reference, "not-unique", $"{alike.Count} such components are recorded there; give each a reference or a position.");
        }

        return alike.FirstOrDefault();
    }

    private bool TakeMark(Cells cells, Component component)
    {
        var convention = cells.Text(Columns.Convention, 64);
        var seenOn = ImportShared.PastDay(cells, book, Columns.SeenOn);
        if (cells.Text(Columns.Mark, MarkQuestion.MaxTextLength) is not { } text)
        {
            return false;
        }

        if (convention is not null && MarkConventions.Find(convention) is null)
        {
            cells.Wrong<string>(Columns.Convention, "unknown-value", $"There is no such mark convention. Known: {string.Join(", ", MarkConventions.All.Select(c => c.Key))}.");
            return false;
        }

        var evidence = ImportBook.Of(book.Evidence, component.Id);
        if (evidence.Exists(e => e.Kind == EvidenceRowKind.Mark && e.Text == text && e.Convention == convention && (seenOn is null || e.On == seenOn)))
        {
            return false;
        }

        // What an earlier sheet said of this mark is corrected by this one; what a person noted by hand stands beside it.
        foreach (var old in evidence.FindAll(e => e.Kind == EvidenceRowKind.Mark && e.NotedBy == ImportShared.Noter))
        {
            old.WithdrawnAt = book.Now;
            old.WithdrawnReason = "A later import reads the mark otherwise.";
            evidence.Remove(old);
        }

        Add(component, EvidenceRowKind.Mark, seenOn, text, convention);
        return true;
    }

    private bool TakeDocument(Cells cells, Component component)
    {
        if (ImportShared.PastDay(cells, book, Columns.DocumentOn) is not { } day
            || ImportBook.Of(book.Evidence, component.Id).Exists(e => e.Kind == EvidenceRowKind.Document && e.On == day))
        {
            return false;
        }

        Add(component, EvidenceRowKind.Document, day, null, null);
        return true;
    }

    private bool TakeFitting(Cells cells, Component component, Vehicle? vehicle)
    {
        var day = ImportShared.PastDay(cells, book, Columns.FittedOn);
        var odometer = cells.Odometer(Columns.FittedOdometer);
        if (vehicle is null)
        {
            if (day is not null || odometer is not null)
            {
                cells.Wrong<string>(Columns.FittedOn, "not-fitted", "A part without a vehicle is on the shelf and cannot have been fitted.");
            }

            return false;
        }

        var fittings = ImportBook.Of(book.Fittings, component.Id);
        var current = fittings.Find(f => f.VehicleId == vehicle.Id && f.TakenOffOn is null);
        if (current is null)
        {
            current = new Fitting
            {
                ClubId = book.ClubId,
                Id = Guid.CreateVersion7(),
                ComponentId = component.Id,
                VehicleId = vehicle.Id,
                NotedBy = ImportShared.Noter,
                RecordedAt = book.Now,
            };
            fittings.Add(current);
            db.Fittings.Add(current);
        }

        current.Position = component.Position;
        current.FittedOn = day ?? current.FittedOn;
        if (odometer is { } shown)
        {
            current.FittedThousandths = ImportBook.Thousandths(shown);
            current.FittedUnit = shown.Unit ?? vehicle.DistanceUnit;
        }

        return db.Entry(current).State != EntityState.Unchanged;
    }

    private void Add(Component component, EvidenceRowKind kind, DateOnly? day, string? text, string? convention)
    {
        var row = new EvidenceRow
        {
            ClubId = book.ClubId,
            Id = Guid.CreateVersion7(),
            ComponentId = component.Id,
            Kind = kind,
            On = day,
            Text = text,
            Convention = convention,
            NotedBy = ImportShared.Noter,
            RecordedAt = book.Now,
        };
        ImportBook.Of(book.Evidence, component.Id).Add(row);
        db.Evidence.Add(row);
    }
}

internal sealed class ImportTasks(AgeWatchContext db, ImportBook book)
{
    public Taken Take(Cells cells)
    {
        var reference = cells.Text(Columns.Reference, 100);
        var kind = ImportShared.FindKind(cells);
        if (ImportShared.FindVehicle(cells, book) is not { } vehicle || kind is null)
        {
            return default;
        }

        var task = reference is not null
            ? book.Tasks.Find(t => t.Reference == reference)
            : book.Tasks.Find(t => t.VehicleId == vehicle.Id && t.PartKind == kind.Key);
        if (task is not null && task.VehicleId != vehicle.Id)
        {
            cells.Wrong<string>(Columns.Vehicle, "elsewhere", "This task is recorded on another vehicle.");
            return default;
        }

        if (task is null)
        {
            task = new ServiceTask
            {
                ClubId = book.ClubId,
                Id = Guid.CreateVersion7(),
                VehicleId = vehicle.Id,
                Reference = reference,
                PartKind = kind.Key,
                CreatedAt = book.Now,
                UpdatedAt = book.Now,
            };
            book.Tasks.Add(task);
            db.ServiceTasks.Add(task);
        }

        task.PartKind = kind.Key;
        task.Label = cells.Text(Columns.Name) ?? task.Label;
        task.Notes = cells.Notes() ?? task.Notes;
        var touched = db.Entry(task).State != EntityState.Unchanged;
        touched |= TakeRecord(cells, task, vehicle);
        if (touched)
        {
            task.UpdatedAt = book.Now;
        }

        return new(task, touched, vehicle.Id);
    }

    private bool TakeRecord(Cells cells, ServiceTask task, Vehicle vehicle)
    {
        var odometer = cells.Odometer(Columns.LastDoneOdometer);
        if (ImportShared.PastDay(cells, book, Columns.LastDoneOn) is not { } day)
        {
            if (odometer is not null)
            {
                cells.Wrong<string>(Columns.LastDoneOn, "missing", "An odometer without its day says nothing; give both.");
            }

            return false;
        }

        var records = ImportBook.Of(book.Records, task.Id);
        var record = records.Find(r => r.DoneOn == day);
        if (record is null)
        {
            record = new ServiceRecord
            {
                ClubId = book.ClubId,
                Id = Guid.CreateVersion7(),
                ServiceTaskId = task.Id,
                DoneOn = day,
                NotedBy = ImportShared.Noter,
                CreatedAt = book.Now,
            };
            records.Add(record);
            db.ServiceRecords.Add(record);
        }

        if (odometer is { } shown)
        {
            record.Thousandths = ImportBook.Thousandths(shown);
            record.Unit = shown.Unit ?? vehicle.DistanceUnit;
        }

        return db.Entry(record).State != EntityState.Unchanged;
    }
}

internal static class ImportShared
{
    /// <summary>Who is written down as having noted what a sheet says.</summary>
    public const string Noter = "import";

    public static Vehicle? FindVehicle(Cells cells, ImportBook book) =>
        cells.Required(Columns.Vehicle, 100) is not { } name ? null
        : book.FindVehicle(name) ?? cells.Wrong<Vehicle>(
            Columns.Vehicle, "no-such-vehicle", "There is no vehicle with this reference or registration, neither in this sheet nor in the club.");

    /// <summary>By key, or by the catalogue's own name.</summary>
    public static PartKind? FindKind(Cells cells) =>
        cells.Required(Columns.PartKind, 100) is not { } text ? null
        : PartCatalogue.BuiltIn.Find(text)
            ?? PartCatalogue.BuiltIn.All.FirstOrDefault(k => string.Equals(k.Name, text, StringComparison.OrdinalIgnoreCase))
            ?? cells.Wrong<PartKind>(Columns.PartKind, "unknown-part-kind", "There is no such part kind; GET /v1/part-kinds lists them.");

    public static DateOnly? PastDay(Cells cells, ImportBook book, string column) =>
        cells.Day(column) is not { } day ? null
        : day <= book.Today ? day
        : cells.WrongValue<DateOnly>(column, "in-the-future", $"Is later than today ({book.Today:yyyy-MM-dd}).");
}
