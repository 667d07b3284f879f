using System.Text.Json;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>One JSON value a line. There is no RFC for it and no registered media type; this one is common
/// practice.</summary>
internal static class NdJson
{
    public const string ContentType = "application/x-ndjson; charset=utf-8";

    public static async Task WriteAsync<T>(
        Stream stream, IAsyncEnumerable<T> rows, JsonSerializerOptions options, CancellationToken stop)
    {
        // Indented JSON would break the one promise of the format.
        var oneLine = options.WriteIndented ? new JsonSerializerOptions(options) { WriteIndented = false } : options;
        await foreach (var row in rows.WithCancellation(stop))
        {
            await JsonSerializer.SerializeAsync(stream, row, oneLine, stop);
            await stream.WriteAsync("\n"u8.ToArray(), stop);
        }
    }
}
