using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportComponents(AgeWatchContext db, ImportRecords book)
{
    private readonly ImportEvidence _evidence = new(db, book);

    public ImportedRow Take(RowReader reader)
    {
        var reference = reader.Text(Columns.Reference, 100);
        var kind = ImportShared.FindKind(reader);
        var named = reader.Text(Columns.Vehicle, 100) is not null;
        var vehicle = named ? ImportShared.FindVehicle(reader, book) : null;
        _evidence.Check(reader);
        if (named && vehicle is null && !reader.IsUnread(Columns.FittedOn, reader.Day(Columns.FittedOn)))
        {
            reader.Refuse(FittingRecord.Check(ReadFitting(reader), null, null, book.Today), ColumnOf);
        }

        if (kind is null || (named && vehicle is null))
        {
            return default;
        }

        var position = reader.Text(Columns.Position, 100);
        var component = Find(reader, reference, kind.Key, vehicle, position, out var isRefused);
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
        component.Maker = reader.Text(Columns.Maker, 100) ?? component.Maker;
        component.PartNumber = reader.Text(Columns.PartNumber, 100) ?? component.PartNumber;
        component.Lot = reader.Text(Columns.Lot, 100) ?? component.Lot;
        var original = reader.YesNo(Columns.Original);
        component.Original = original ?? component.Original;
        component.Notes = reader.Notes() ?? component.Notes;

        var fitted = reader.AsWritten(Columns.FittedOn) ?? reader.AsWritten(Columns.FittedOdometer)
            ?? reader.AsWritten(Columns.FittedHours);
        ComponentRecord told = new()
        {
            IsOnVehicle = vehicle is not null,
            WasOnVehicle = ImportRecords.Of(book.Fittings, component.Id).Count > 0,
            Original = original ?? false,
            Evidence = fitted is null ? [] : [EvidenceKind.Fitted],
        };
        reader.Refuse(
            ComponentRecord.Check(told),
            member => member == nameof(told.Original) ? Columns.Original : Columns.FittedOn);
        var touched = db.Entry(component).State != EntityState.Unchanged;
        touched |= _evidence.TakeMark(reader, component);
        touched |= _evidence.TakeDocument(reader, component);
        touched |= TakeFitting(reader, component, vehicle);
        if (touched)
        {
            component.UpdatedAt = book.Now;
        }

        return new(component, touched, component.VehicleId);
    }

    private Component? Find(
        RowReader reader, string? reference, string kind, Vehicle? vehicle, string? position, out bool isRefused)
    {
        isRefused = false;
        if (reference is not null)
        {
            var known = book.Components.Find(c => c.Reference == reference);
            if (known is not null && known.VehicleId != vehicle?.Id)
            {
                isRefused = true;
                reader.Wrong<string>(
                    Columns.Vehicle, "elsewhere",
                    "This component is recorded elsewhere. A sheet does not move parts: take it off and fit it, so "
                        + "that its age and distance go along.");
            }

            return known;
        }

        var alike = book.Components.FindAll(c =>
            c.Place != ComponentPlace.Discarded
                && c.VehicleId == vehicle?.Id
                && c.PartKind == kind
                && c.Position == position
                && c.Reference is null);
        if (alike.Count > 1)
        {
            isRefused = true;
            reader.Wrong<string>(
                Columns.Reference, "not-unique",
                $"{alike.Count} such components are recorded there; give each a reference or a position.");
        }

        return alike.FirstOrDefault();
    }

    private bool TakeFitting(RowReader reader, Component component, Vehicle? vehicle)
    {
        var told = ReadFitting(reader);
        var (day, hours) = (told.On, told.Hours);
        var odometer = reader.Odometer(Columns.FittedOdometer);
        if (vehicle is null
            || reader.IsUnread(Columns.FittedOn, day)
            || reader.Refuse(FittingRules.Refusals(told, vehicle, book.Today), ColumnOf))
        {
            return false;
        }

        var fittings = ImportRecords.Of(book.Fittings, component.Id);
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
        if (day is not null && new FittingHistory(fittings).Overlaps)
        {
            reader.Wrong<string>(
                Columns.FittedOn, "overlaps",
                "It would then have been in two places on one day; see its other fittings.");
        }

        if (odometer is { } shown)
        {
            ImportShared.WarnOfUnit(reader, Columns.FittedOdometer, shown.Unit, vehicle);
            current.FittedThousandths = ImportRecords.Thousandths(shown);
            current.FittedUnit = shown.Unit ?? vehicle.DistanceUnit;
        }

        current.FittedHours = FittingDistances.Thousandths(hours) ?? current.FittedHours;
        return db.Entry(current).State != EntityState.Unchanged;
    }

    private static FittingRecord ReadFitting(RowReader reader) => new()
    {
        On = reader.Day(Columns.FittedOn),
        Odometer = reader.Odometer(Columns.FittedOdometer)?.Value,
        Hours = reader.Hours(Columns.FittedHours),
    };

    private static string ColumnOf(string member) => member switch
    {
        nameof(FittingRecord.On) => Columns.FittedOn,
        nameof(FittingRecord.Odometer) => Columns.FittedOdometer,
        _ => Columns.FittedHours,
    };
}
