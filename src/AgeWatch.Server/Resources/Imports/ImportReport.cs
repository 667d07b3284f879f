using System.Text.Json.Serialization;

namespace AgeWatch.Server.Resources.Imports;

internal enum ImportOutcome
{
    Created,
    Changed,
    Unchanged,
    Refused,
}

/// <summary>What became of a sheet, row by row; with dryRun what would become of it.</summary>
/// <param name="Stored">False for a dry run, and whenever one row is refused: all rows or none.</param>
internal sealed record ImportReport(
    bool DryRun, bool Stored, int Created, int Changed, int Unchanged, int Refused, IReadOnlyList<ImportRow> Rows)
{
    public static ImportReport Of(bool dryRun, bool stored, IReadOnlyList<ImportRow> rows) => new(
        dryRun,
        stored,
        rows.Count(r => r.Outcome == ImportOutcome.Created),
        rows.Count(r => r.Outcome == ImportOutcome.Changed),
        rows.Count(r => r.Outcome == ImportOutcome.Unchanged),
        rows.Count(r => r.Outcome == ImportOutcome.Refused),
        rows);
}

/// <param name="Line">As a text editor counts, the heading being line 1.</param>
internal sealed record ImportRow(
    int Line,
    string? Record,
    string? Reference,
    ImportOutcome Outcome,
    Guid? Id,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] IReadOnlyList<CellError>? Errors);

/// <param name="Column">Null when the whole row is meant.</param>
internal sealed record CellError(string? Column, string Code, string Detail);
