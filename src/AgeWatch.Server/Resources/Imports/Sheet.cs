using System.Text;
using CsvHelper;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>One row: its line and what stands in its columns, trimmed; empty cells are absent.</summary>
internal sealed record SheetRow(int Line, IReadOnlyDictionary<string, string> Cells)
{
    public string? this[string column] => Cells.GetValueOrDefault(column);
}

/// <summary>A comma-separated table as spreadsheets write it: RFC 4180, or with semicolons or tabs; any line end; with
/// or without a byte order mark.</summary>
internal static class Sheet
{
    public const int MostRows = 20_000;

    // A heading of thousands is no sheet but a wrong separator or an attack; each would be answered.
    private const int MostColumns = 100;

    private const int LongestName = 60;

    public static async Task<List<SheetRow>> ReadAsync(
        Stream body, SheetWords words, SheetFindings findings, CancellationToken stop)
    {
        var faults = findings.Faults;
        var text = await DecodeAsync(body, faults, stop);
        if (faults.Count > 0)
        {
            return [];
        }

        using var reader = CsvReader.FromText(text, new CsvReaderOptions
        {
            Separator = SeparatorOf(text),
            HasHeader = false,
            TrimWhitespace = true,
            TrimInsideQuotes = true,
            TrackLineNumbers = true,
            OnMalformedRecord = bad => faults.Add(new(
                (int)bad.LineNumber, null, "bad-quotes",
                "A double quote stands where none may; quote the whole cell and double the quotes inside it.")),
        });

        List<SheetRow> rows = [];
        string[]? columns = null;
        while (reader.Read())
        {
            var line = (int)reader.LineNumber;
            string[] cells = [.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetString)];
            if (columns is null)
            {
                if (cells.Length > MostColumns)
                {
                    faults.Add(new(line, null, "too-many-columns", $"A sheet may have {MostColumns} columns."));
                    return [];
                }

                columns = ReadHeading(cells, line, words, findings);
                continue;
            }

            if (cells.All(string.IsNullOrWhiteSpace))
            {
                continue;
            }

            if (cells.Skip(columns.Length).Any(cell => cell.Length > 0))
            {
                faults.Add(new(
                    line, null, "too-many-cells",
                    $"The row has {cells.Length} cells, the heading {columns.Length}. A cell that holds the "
                        + $"separator must be quoted."));
                continue;
            }

            if (rows.Count == MostRows)
            {
                faults.Add(new(line, null, "too-many-rows", $"A sheet may have {MostRows} rows; split it."));
                break;
            }

            rows.Add(new(line, Pair(columns, cells, line, faults)));
        }

        if (columns is null)
        {
            faults.Add(new(1, null, "empty", "The sheet is empty: the first line names the columns."));
        }

        return rows;
    }

    /// <summary>Column names are read without regard to case, and a space, hyphen or underscore are the same.</summary>
    public static string Fold(string heading) =>
        string.Join(' ', heading.ToLowerInvariant()
            .Split([' ', '_', '-', '\u00a0'], StringSplitOptions.RemoveEmptyEntries));

    private static async Task<string> DecodeAsync(Stream body, List<SheetFault> faults, CancellationToken stop)
    {
        using var reader = new StreamReader(
            body, new UTF8Encoding(false, throwOnInvalidBytes: true), detectEncodingFromByteOrderMarks: true,
            leaveOpen: true);
        try
        {
            var text = await reader.ReadToEndAsync(stop);
            if (text.Contains('\0', StringComparison.Ordinal))
            {
                faults.Add(new(1, null, "not-text", "The file is not text. Save the sheet as CSV."));
            }

            return text;
        }
        catch (DecoderFallbackException)
        {
            faults.Add(new(
                1, null, "not-utf-8",
                "The file is not UTF-8. Save the sheet as \"CSV UTF-8\"; other code pages turn names and marks into "
                    + "other ones."));
            return "";
        }
    }

    private static char SeparatorOf(string text)
    {
        var heading = text.AsSpan(0, text.AsSpan().IndexOfAny('\r', '\n') is >= 0 and var end ? end : text.Length);
        var (commas, semicolons, tabs) = (heading.Count(','), heading.Count(';'), heading.Count('\t'));
        return tabs > Math.Max(commas, semicolons) ? '\t' : semicolons > commas ? ';' : ',';
    }

    private static string[] ReadHeading(string[] cells, int line, SheetWords words, SheetFindings findings)
    {
        var faults = findings.Faults;
        string[] columns =
            [.. cells.Select(Fold).Select(heading => words.Headings.GetValueOrDefault(heading, heading))];
        foreach (var (index, column) in columns.Index())
        {
            if (column is "" or SheetWords.LeftOut)
            {
                continue;
            }

            var name = cells[index].Length > LongestName ? cells[index][..LongestName] + "…" : cells[index];
            if (!Columns.All.Contains(column))
            {
                faults.Add(new(line, name, "unknown-column", $"There is no such column. {Hint(column, findings)}"));
            }
            else if (Array.IndexOf(columns, column) < index)
            {
                faults.Add(new(line, name, "doubled-column", "This column stands twice in the heading."));
            }
        }

        return columns;
    }

    private static string Hint(string heading, SheetFindings findings)
    {
        if (HeadingHints.Near(heading) is not { } near)
        {
            return "Say what it is with columns=heading:column, or leave it out with "
                + $"columns=heading:{SheetWords.LeftOut}. Known: {string.Join(", ", Columns.All)}.";
        }

        findings.Suggest("columns", $"{heading}:{near}");
        return $"If it is \"{near}\", say so with columns={heading}:{near}.";
    }

    private static Dictionary<string, string> Pair(string[] columns, string[] cells, int line, List<SheetFault> faults)
    {
        Dictionary<string, string> pairs = [];
        for (var i = 0; i < Math.Min(columns.Length, cells.Length); i++)
        {
            if (cells[i].Length == 0 || columns[i] == SheetWords.LeftOut)
            {
                continue;
            }

            if (columns[i].Length == 0)
            {
                faults.Add(new(line, null, "no-heading", $"Cell {i + 1} has content, but its column has no name."));
            }
            else if (cells[i].Any(c => char.IsControl(c) && c is not ('\n' or '\r' or '\t')))
            {
                faults.Add(new(line, columns[i], "control-character", "Must not hold control characters."));
            }
            else
            {
                pairs.TryAdd(columns[i], cells[i]);
            }
        }

        return pairs;
    }
}
