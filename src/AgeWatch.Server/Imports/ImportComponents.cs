using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Records;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Imports;

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

    private Component? Find(
        Cells cells, string? reference, string kind, Vehicle? vehicle, string? position, out bool isRefused)
    {
        isRefused = false;
        if (reference is not null)
        {
            var known = book.Components.Find(c => c.Reference == reference);
            if (known is not null && known.VehicleId != vehicle?.Id)
            {
                isRefused = true;
                cells.Wrong<string>(
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
            cells.Wrong<string>(
                Columns.Reference, "not-unique",
                $"{alike.Count} such components are recorded there; give each a reference or a position.");
        }

        return alike.FirstOrDefault();
    }

    private bool TakeMark(Cells cells, Component component)
    {
        var convention = cells.Text(Columns.Convention, 64);
        var seenOn = ImportShared.PastDay(cells, book, Columns.SeenOn);
        if (cells.Text(Columns.Mark, MarkQuestion.MaxTextLength) is not { } text)
        {
            if (convention is not null || seenOn is not null)
            {
                cells.Wrong<string>(
                    Columns.Mark, "missing", "A convention or the day a mark was seen says nothing without the mark.");
            }

            return false;
        }

        if (convention is not (null or MarkQuestion.Undeclared)
            && MarkConventions.Find(convention) is null
            && !book.OwnConventions.Contains(convention))
        {
            cells.Wrong<string>(
                Columns.Convention, "unknown-convention",
                $"There is no such mark convention. Known: "
                    + string.Join(", ", MarkConventions.All.Select(c => c.Key).Concat(book.OwnConventions.Order()))
                        + ".");
            return false;
        }

        var evidence = ImportBook.Of(book.Evidence, component.Id);
        if (evidence.Exists(e => e.Kind == EvidenceRowKind.Mark
            && e.Text == text
            && e.Convention == convention
            && (seenOn is null || e.On == seenOn)))
        {
            return false;
        }

        // What an earlier sheet said of this mark is corrected by this one; what a person noted by hand stands beside
        // it.
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
            || ImportBook.Of(book.Evidence, component.Id)
                .Exists(e => e.Kind == EvidenceRowKind.Document && e.On == day))
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
        var hours = cells.Hours(Columns.FittedHours);
        if (vehicle is null)
        {
            if (day is not null || odometer is not null || hours is not null)
            {
                cells.Wrong<string>(
                    Columns.FittedOn, "not-fitted",
                    "A part without a vehicle is on the shelf and cannot have been fitted.");
            }

            return false;
        }

        if (odometer is not null && day is null)
        {
            cells.Wrong<string>(Columns.FittedOn, "missing", "An odometer without its day says nothing; give both.");
        }
        else if (hours is not null && day is null)
        {
            cells.Wrong<string>(Columns.FittedOn, "missing", "Running hours without their day say nothing; give both.");
        }

        foreach (var refusal in FittingRecord.Check(new() { On = day }, vehicle.Built, vehicle.GoneOn))
        {
            cells.Wrong<string>(Columns.FittedOn, refusal.Code, refusal.Detail);
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

        current.FittedHours = hours ?? current.FittedHours;
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
