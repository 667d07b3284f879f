using CsvHelper;

namespace AgeWatch.Server.Kernel.Http;

/// <param name="IsText">What a person typed, which a spreadsheet might take for a formula.</param>
internal sealed record CsvColumn<T>(string Name, Func<T, string?> Value, bool IsText = false);

/// <summary>Writes comma-separated values (RFC 4180): CRLF, a header row, no byte order mark.</summary>
internal static class CsvTable
{
    public const string ContentType = "text/csv; charset=utf-8; header=present";

    private static readonly CsvWriterOptions Options = new() { Quoting = CsvQuoting.WhenNeededOrWhitespace };

    /// <param name="raw">Text as it is, for programs; else guarded against being run as a formula, for
    /// spreadsheets.</param>
    public static async Task WriteAsync<T>(
        Stream stream, IReadOnlyList<CsvColumn<T>> columns, IAsyncEnumerable<T> rows, bool raw, CancellationToken stop)
    {
        await using var csv = CsvWriter.Create(stream, Options, leaveOpen: true);
        foreach (var column in columns)
        {
            csv.WriteField(column.Name);
        }

        await csv.EndRecordAsync(stop);
        await foreach (var row in rows.WithCancellation(stop))
        {
            foreach (var column in columns)
            {
                var value = column.Value(row);
                csv.WriteField(value is not null && column.IsText && !raw ? CsvGuard.Guard(value) : value);
            }

            await csv.EndRecordAsync(stop);
        }

        await csv.FlushAsync(stop);
    }
}
