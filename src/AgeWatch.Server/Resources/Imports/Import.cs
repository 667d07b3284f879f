using AgeWatch.Server.Kernel.Time;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>Takes a club's sheet: all rows or none, and the same sheet twice changes nothing.</summary>
internal sealed class Import(AgeWatchContext db, FactWriter writer, TimeProvider clock)
{
    /// <returns>The report, and the faults of the sheet as a whole; with either kind of fault nothing is
    /// stored.</returns>
    public async Task<(ImportReport Report, IReadOnlyList<SheetFault> Faults)> RunAsync(
        Guid clubId, Stream body, bool dryRun, CancellationToken stop)
    {
        List<SheetFault> faults = [];
        var rows = await Sheet.ReadAsync(body, faults, stop);
        var zone = await db.Clubs.Select(c => c.TimeZone).SingleAsync(stop);
        var book = await ImportRecords.OpenAsync(db, clubId, clock.GetUtcNow().UtcDateTime, clock.Today(zone), stop);
        var planned = rows.Select(row => (Row: row, Record: RecordOf(row, faults))).ToList();

        List<(SheetRow Row, string? Record, object? Entity, bool Touched)> done = [];
        HashSet<Guid?> vehicles = [];
        Dictionary<string, Func<RowReader, ImportedRow>> takers = new()
        {
            ["member"] = new ImportMembers(db, book).Take,
            ["vehicle"] = new ImportVehicles(db, book).Take,
            ["reading"] = new ImportReadings(db, book).Take,
            ["component"] = new ImportComponents(db, book).Take,
            ["task"] = new ImportTasks(db, book).Take,
        };
        foreach (var (row, record) in planned.OrderBy(p => Array.IndexOf(Columns.Records, p.Record)))
        {
            var outcome = default(ImportedRow);
            if (record is not null)
            {
                faults.AddRange(row.Cells.Keys.Where(column => !Columns.Fits(record, column))
                    .Select(column => new SheetFault(
                    row.Line, column, "not-here",
                    $"A {record} has no such column; its cell would be lost. Empty it, or give it a row of its own.")));
                outcome = takers[record](new RowReader(row, faults));
            }

            done.Add((row, record, outcome.Entity, outcome.Touched));
            if (outcome.Touched)
            {
                vehicles.Add(outcome.VehicleId);
            }
        }

        var refused = faults.ToLookup(f => f.Line);
        var results = done.OrderBy(d => d.Row.Line).Select(d => new ImportRow(
            d.Row.Line,
            d.Record,
            d.Row[Columns.Reference],
            refused[d.Row.Line].Any() ? ImportOutcome.Refused : OutcomeOf(d.Entity, d.Touched),
            refused[d.Row.Line].Any() ? null : (d.Entity as ITenantRow)?.Id,
            refused[d.Row.Line].Any()
                ? [.. refused[d.Row.Line].Select(f => new CellError(f.Column, f.Code, f.Detail))]
                : null)).ToList();

        if (dryRun || faults.Count > 0)
        {
            db.ChangeTracker.Clear();
            return (ImportReport.Of(dryRun, stored: false, results), faults);
        }

        await writer.SaveAsync(clubId, vehicles, stop);
        return (ImportReport.Of(dryRun, stored: true, results), faults);
    }

    private static string? RecordOf(SheetRow row, List<SheetFault> faults)
    {
        if (row[Columns.Record]?.ToLowerInvariant() is { } said)
        {
            if (!Columns.Records.Contains(said))
            {
                faults.Add(new(
                    row.Line, Columns.Record, "unknown-value",
                    $"Must be one of: {string.Join(", ", Columns.Records)}."));
                return null;
            }

            return said;
        }

        return row[Columns.PartKind] is not null ? row[Columns.LastDoneOn] is not null ? "task" : "component"
            : row[Columns.Odometer] is not null ? "reading"
            : row[Columns.Email] is not null ? "member"
            : "vehicle";
    }

    private ImportOutcome OutcomeOf(object? entity, bool touched) =>
        entity is not null && db.Entry(entity).State == EntityState.Added ? ImportOutcome.Created
        : touched ? ImportOutcome.Changed
        : ImportOutcome.Unchanged;
}

/// <param name="Entity">The row's own record; null when the row was refused.</param>
/// <param name="Touched">Something of it is new or changed.</param>
/// <param name="VehicleId">The vehicle whose answers may change; null: the shelf, or none.</param>
internal readonly record struct ImportedRow(object? Entity, bool Touched, Guid? VehicleId);
