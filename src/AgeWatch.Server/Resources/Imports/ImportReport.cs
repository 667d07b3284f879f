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
/// <param name="Warned">Rows that are taken although something of them is odd.</param>
/// <param name="Rows">At most 1,000 of them, by line: the refused ones first of all, then the odd ones.</param>
/// <param name="MoreRows">How many rows are not shown.</param>
/// <param name="Suggestions">Parameters that would make more of the sheet understood, for a person to judge.</param>
internal sealed record ImportReport(
    bool DryRun, bool Stored, int Created, int Changed, int Unchanged, int Refused, int Warned,
    IReadOnlyList<ImportRow> Rows, int MoreRows, IReadOnlyList<ImportSuggestion> Suggestions)
{
    public const int MostRows = 1000;

    public static ImportReport Of(
        bool dryRun, bool stored, IReadOnlyList<ImportRow> rows, IReadOnlyList<ImportSuggestion> suggestions) => new(
        dryRun,
        stored,
        rows.Count(r => r.Outcome == ImportOutcome.Created),
        rows.Count(r => r.Outcome == ImportOutcome.Changed),
        rows.Count(r => r.Outcome == ImportOutcome.Unchanged),
        rows.Count(r => r.Outcome == ImportOutcome.Refused),
        rows.Count(r => r.Outcome != ImportOutcome.Refused && r.Warnings is not null),
        [.. rows.OrderBy(r => r.Outcome == ImportOutcome.Refused ? 0 : r.Warnings is not null ? 1 : 2)
            .ThenBy(r => r.Line)
            .Take(MostRows)
            .OrderBy(r => r.Line)],
        Math.Max(0, rows.Count - MostRows),
        suggestions);
}

/// <param name="Line">As a text editor counts, the heading being line 1.</param>
/// <param name="Errors">All that is wrong with it, at most 50 things.</param>
/// <param name="Warnings">What is odd but possible; it is taken all the same.</param>
internal sealed record ImportRow(
    int Line,
    string? Record,
    string? Reference,
    ImportOutcome Outcome,
    Guid? Id,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] IReadOnlyList<CellError>? Errors,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] IReadOnlyList<CellError>? Warnings);

/// <param name="Value">As it would be sent.</param>
internal sealed record ImportSuggestion(string Parameter, string Value);

/// <param name="Column">Null when the whole row is meant.</param>
internal sealed record CellError(string? Column, string Code, string Detail);
