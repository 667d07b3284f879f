using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Storage;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

internal sealed class ImportTasks(AgeWatchContext db, ImportRecords book)
{
    public ImportedRow Take(RowReader reader)
    {
        var reference = reader.Text(Columns.Reference, 100);
        var kind = ImportShared.FindKind(reader);
        if (!reader.IsUnread(Columns.LastDoneOn, reader.Day(Columns.LastDoneOn)))
        {
            reader.Refuse(DoneRecord.Check(ReadDone(reader), book.Today), ColumnOf);
        }

        if (ImportShared.FindVehicle(reader, book) is not { } vehicle || kind is null)
        {
            return default;
        }

        var task = reference is not null
            ? book.Tasks.Find(t => t.Reference == reference)
            : book.Tasks.Find(t => t.VehicleId == vehicle.Id && t.PartKind == kind.Key);
        if (task is not null && task.VehicleId != vehicle.Id)
        {
            reader.Wrong<string>(Columns.Vehicle, "elsewhere", "This task is recorded on another vehicle.");
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
        task.Label = reader.Text(Columns.Name) ?? task.Label;
        task.Notes = reader.Notes() ?? task.Notes;
        var touched = db.Entry(task).State != EntityState.Unchanged;
        touched |= TakeRecord(reader, task, vehicle);
        if (touched)
        {
            task.UpdatedAt = book.Now;
        }

        return new(task, touched, vehicle.Id);
    }

    private bool TakeRecord(RowReader reader, ServiceTask task, Vehicle vehicle)
    {
        var odometer = reader.Odometer(Columns.LastDoneOdometer);
        var done = ReadDone(reader);
        var (told, hours) = (done.On, done.Hours);
        if (reader.IsUnread(Columns.LastDoneOn, told)
            || reader.Refuse(DoneRecord.Check(done, book.Today), ColumnOf)
            || told is not { } day)
        {
            return false;
        }

        var records = ImportRecords.Of(book.Records, task.Id);
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
            ImportShared.WarnOfUnit(reader, Columns.LastDoneOdometer, shown.Unit, vehicle);
            record.Thousandths = ImportRecords.Thousandths(shown);
            record.Unit = shown.Unit ?? vehicle.DistanceUnit;
        }

        record.Hours = FittingDistances.Thousandths(hours) ?? record.Hours;
        return db.Entry(record).State != EntityState.Unchanged;
    }

    private static DoneRecord ReadDone(RowReader reader) => new()
    {
        On = reader.Day(Columns.LastDoneOn),
        Odometer = reader.Odometer(Columns.LastDoneOdometer)?.Value,
        Hours = reader.Hours(Columns.LastDoneHours),
    };

    private static string ColumnOf(string member) => member switch
    {
        nameof(DoneRecord.On) => Columns.LastDoneOn,
        nameof(DoneRecord.Odometer) => Columns.LastDoneOdometer,
        _ => Columns.LastDoneHours,
    };
}
