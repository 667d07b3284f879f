using System.Text;
using CsvHelper;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>One thing that is wrong with a sheet. Lines count from 1, the heading included, as a text editor shows
/// them.</summary>
internal sealed record SheetFault(int Line, string? Column, string Code, string Detail);

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

    public static async Task<List<SheetRow>> ReadAsync(Stream body, List<SheetFault> faults, CancellationToken stop)
    {
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
                columns = ReadHeading(cells, line, faults);
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

    private static string[] ReadHeading(string[] cells, int line, List<SheetFault> faults)
    {
        var columns = cells.Select(Fold).ToArray();
        foreach (var (index, column) in columns.Index())
        {
            if (column.Length > 0 && !Columns.All.Contains(column))
            {
                faults.Add(new(
                    line, cells[index], "unknown-column",
                    $"There is no such column. Known: {string.Join(", ", Columns.All)}."));
            }
            else if (column.Length > 0 && Array.IndexOf(columns, column) < index)
            {
                faults.Add(new(line, cells[index], "doubled-column", "This column stands twice in the heading."));
            }
        }

        return columns;
    }

    private static Dictionary<string, string> Pair(string[] columns, string[] cells, int line, List<SheetFault> faults)
    {
        Dictionary<string, string> pairs = [];
        for (var i = 0; i < Math.Min(columns.Length, cells.Length); i++)
        {
            if (cells[i].Length == 0)
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
