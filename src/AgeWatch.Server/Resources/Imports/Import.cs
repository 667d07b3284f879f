using AgeWatch.Server.Kernel.Time;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>Takes a club's sheet: all rows or none, and the same sheet twice changes nothing.</summary>
internal sealed class Import(AgeWatchContext db, FactWriter writer, TimeProvider clock)
{
    private const int MostOfARow = 50;

    /// <returns>The report, and the faults of the sheet as a whole; with either kind of fault nothing is
    /// stored.</returns>
    public async Task<(ImportReport Report, IReadOnlyList<SheetFault> Faults)> RunAsync(
        Guid clubId, Stream body, SheetWords words, bool dryRun, CancellationToken stop)
    {
        SheetFindings findings = new();
        var faults = findings.Faults;
        var rows = await Sheet.ReadAsync(body, words, findings, stop);
        var zone = await db.Clubs.Select(c => c.TimeZone).SingleAsync(stop);
        var book = await ImportRecords.OpenAsync(db, clubId, clock.GetUtcNow().UtcDateTime, clock.Today(zone), stop);
        var planned = rows.Select(row => (Row: row, Record: RecordOf(row, faults))).ToList();
        RefuseDoubled(planned, faults);

        List<(SheetRow Row, string? Record, object? Entity, bool Touched)> done = [];
        HashSet<Guid?> vehicles = [];
        Dictionary<object, int> lines = new(ReferenceEqualityComparer.Instance);
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
                faults.AddRange(row.Cells.Keys
                    .Where(column => Columns.All.Contains(column) && !Columns.Fits(record, column))
                    .Select(column => new SheetFault(
                    row.Line, column, "not-here",
                    $"A {record} has no such column; its cell would be lost. Empty it, or give it a row of its own.")));
                RowReader reader = new(row, findings, words);
                RowProof.Read(reader, record);
                outcome = takers[record](reader);
                RefuseSecond(row, record, outcome.Entity, lines, faults);
            }

            done.Add((row, record, outcome.Entity, outcome.Touched));
            if (outcome.Touched)
            {
                vehicles.Add(outcome.VehicleId);
            }
        }

        var report = Report(dryRun, stored: !dryRun && faults.Count == 0, done, findings);
        if (!report.Stored)
        {
            db.ChangeTracker.Clear();
            return (report, faults);
        }

        await writer.SaveAsync(clubId, vehicles, stop);
        return (report, faults);
    }

    private ImportReport Report(
        bool dryRun, bool stored, List<(SheetRow Row, string? Record, object? Entity, bool Touched)> done,
        SheetFindings findings)
    {
        var refused = findings.Faults.ToLookup(f => f.Line);
        var odd = findings.Warnings.ToLookup(f => f.Line);
        List<ImportRow> rows = [.. done.Select(d => new ImportRow(
            d.Row.Line,
            d.Record,
            d.Row[Columns.Reference],
            refused.Contains(d.Row.Line) ? ImportOutcome.Refused : OutcomeOf(d.Entity, d.Touched),
            refused.Contains(d.Row.Line) ? null : (d.Entity as ITenantRow)?.Id,
            Cells(refused[d.Row.Line]),
            Cells(odd[d.Row.Line])))];

        // A fault of the heading belongs to no row; a dry run must show it all the same.
        var shown = rows.Select(r => r.Line).ToHashSet();
        rows.AddRange(refused.Where(line => !shown.Contains(line.Key))
            .Select(line => new ImportRow(
                line.Key, null, null, ImportOutcome.Refused, null, Cells(line), null)));
        return ImportReport.Of(dryRun, stored, rows, findings.Suggestions);
    }

    private static List<CellError>? Cells(IEnumerable<SheetFault> found) =>
        found.Take(MostOfARow).Select(f => new CellError(f.Column, f.Code, f.Detail)).ToList() is { Count: > 0 } cells
            ? cells
            : null;

    // The second would change what the first has just said, and which of them is meant nobody can tell.
    private static void RefuseDoubled(List<(SheetRow Row, string? Record)> planned, List<SheetFault> faults)
    {
        foreach (var same in planned
            .Where(p => p.Record is not (null or "reading") && ReferenceOf(p.Row, p.Record) is not null)
            .GroupBy(p => (p.Record, ReferenceOf(p.Row, p.Record!)))
            .Where(same => same.Count() > 1))
        {
            var first = same.First().Row.Line;
            faults.AddRange(same.Skip(1).Select(p => new SheetFault(
                p.Row.Line, p.Row[Columns.Reference] is null ? p.Record : Columns.Reference, "doubled-reference",
                $"Line {first} has the same reference. Make it one row, or give each thing a reference of its own.")));
        }
    }

    private static string? ReferenceOf(SheetRow row, string record) => row[Columns.Reference] ?? record switch
    {
        "member" => row[Columns.Member],
        "vehicle" => row[Columns.Vehicle],
        _ => null,
    };

    // The same car by its plate, or two parts alike of which neither has a reference. Work may be told twice, for two
    // days.
    private static void RefuseSecond(
        SheetRow row, string record, object? entity, Dictionary<object, int> lines, List<SheetFault> faults)
    {
        if (entity is null || record is "task" or "reading" || lines.TryAdd(entity, row.Line))
        {
            return;
        }

        var first = lines[entity];
        if (!faults.Exists(f => f.Line == row.Line && f.Code == "doubled-reference"))
        {
            faults.Add(new(
                row.Line, null, "not-unique",
                $"It is the same {record} as in line {first}. Make it one row, or give each a reference or "
                    + "a position."));
        }
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
