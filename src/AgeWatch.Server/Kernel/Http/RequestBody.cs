using System.Text;
using System.Text.Json;
using Microsoft.Net.Http.Headers;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A parameter that could not be read; the filter on <c>/v1</c> answers with its problem before the handler
/// runs.</summary>
internal interface IRefusable
{
    Problem? Problem { get; }
}

/// <summary>The bytes of a JSON body, read once and judged as JSON, not yet as a record.</summary>
internal static class RequestBody
{
    private static readonly JsonDocumentOptions Strict = new() { MaxDepth = 64 };

    public static async ValueTask<(
        JsonDocument? Json, Problem? Problem)> ReadJsonAsync(HttpContext http, string mediaType)
    {
        if (!MediaTypeHeaderValue.TryParse(http.Request.ContentType, out var sent)
            || !sent.MediaType.Equals(mediaType, StringComparison.OrdinalIgnoreCase)
            || !(sent.Charset.Length == 0 || sent.Charset.Equals("utf-8", StringComparison.OrdinalIgnoreCase))
            || http.Request.Headers.ContentEncoding is not ([] or ["identity"]))
        {
            return (null, Problems.UnsupportedMediaType(mediaType));
        }

        using MemoryStream bytes = new();
        try
        {
            await http.Request.Body.CopyToAsync(bytes, http.RequestAborted);
        }
        catch (BadHttpRequestException bad)
        {
            return (null, Problems.OfFault(bad));
        }

        var body = bytes.GetBuffer().AsMemory(0, (int)bytes.Length);
        if (body.Span.StartsWith(Encoding.UTF8.Preamble))
        {
            body = body[Encoding.UTF8.Preamble.Length..];
        }

        if (body.IsEmpty)
        {
            return (null, Problems.MalformedBody("The body is empty; send a JSON object."));
        }

        if (!System.Text.Unicode.Utf8.IsValid(body.Span))
        {
            return (null, Problems.MalformedBody("The body is not UTF-8 text."));
        }

        try
        {
            return (JsonDocument.Parse(body, Strict), null);
        }
        catch (JsonException fault)
        {
            return (null, Problems.MalformedBody(
                $"The body is not JSON, or is nested more than {Strict.MaxDepth} deep: line {fault.LineNumber + 1}, "
                    + $"byte {fault.BytePositionInLine + 1}."));
        }
    }
}
