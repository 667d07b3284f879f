using Microsoft.Net.Http.Headers;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>What the caller would rather have, RFC 9110 section 12.5.1.</summary>
internal static class Accept
{
    /// <summary>0: not wanted. No Accept header: everything alike.</summary>
    public static double Quality(HttpRequest request, string mediaType)
    {
        if (request.GetTypedHeaders().Accept is not { Count: > 0 } ranges)
        {
            return 1;
        }

        // The most specific range that fits decides.
        var type = MediaTypeHeaderValue.Parse(mediaType);
        return ranges
            .Where(range => range.MatchesMediaType(type.MediaType))
            .OrderBy(range => range.MatchesAllTypes ? 2 : range.MatchesAllSubTypes ? 1 : 0)
            .Select(range => range.Quality ?? 1)
            .FirstOrDefault();
    }
}
