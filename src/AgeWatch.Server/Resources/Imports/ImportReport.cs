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
internal sealed record ImportReport
{
    public const int MostRows = 1000;

    public required bool DryRun { get; init; }

    /// <summary>False for a dry run, and whenever one row is refused: all rows or none.</summary>
    public required bool Stored { get; init; }

    public required int Created { get; init; }

    public required int Changed { get; init; }

    public required int Unchanged { get; init; }

    public required int Refused { get; init; }

    /// <summary>Rows that are taken although something of them is odd.</summary>
    public required int Warned { get; init; }

    /// <summary>At most 1,000 of them, by line: the refused ones first of all, then the odd ones.</summary>
    public required IReadOnlyList<ImportRow> Rows { get; init; }

    /// <summary>How many rows are not shown.</summary>
    public required int MoreRows { get; init; }

    /// <summary>Parameters that would make more of the sheet understood, for a person to judge.</summary>
    public required IReadOnlyList<ImportSuggestion> Suggestions { get; init; }

    public static ImportReport Of(
        bool dryRun, bool stored, IReadOnlyList<ImportRow> rows, IReadOnlyList<ImportSuggestion> suggestions) => new()
        {
            DryRun = dryRun,
            Stored = stored,
            Created = rows.Count(r => r.Outcome == ImportOutcome.Created),
            Changed = rows.Count(r => r.Outcome == ImportOutcome.Changed),
            Unchanged = rows.Count(r => r.Outcome == ImportOutcome.Unchanged),
            Refused = rows.Count(r => r.Outcome == ImportOutcome.Refused),
            Warned = rows.Count(r => r.Outcome != ImportOutcome.Refused && r.Warnings is not null),
            Rows =
            [
                .. rows.OrderBy(r => r.Outcome == ImportOutcome.Refused ? 0 : r.Warnings is not null ? 1 : 2)
                    .ThenBy(r => r.Line)
                    .Take(MostRows)
                    .OrderBy(r => r.Line),
            ],
            MoreRows = Math.Max(0, rows.Count - MostRows),
            Suggestions = suggestions,
        };
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
