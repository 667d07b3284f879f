namespace AgeWatch.Server.Kernel.Http;

/// <summary>Sees to it that no error leaves without a problem body: faults, and what the framework refuses with an
/// empty answer.</summary>
internal sealed class ProblemMiddleware(RequestDelegate next, ILogger<ProblemMiddleware> log)
{
    // Kestrel's own limits stand at twice this; what it refuses has no body.
    public const int LongestAddress = 8 * 1024;
    public const int LargestHeaders = 32 * 1024;

    public async Task InvokeAsync(HttpContext http)
    {
        try
        {
            if (TooBig(http.Request) is { } status)
            {
                http.Response.StatusCode = status;
            }
            else
            {
                await next(http);
            }
        }
        catch (Exception) when (http.RequestAborted.IsCancellationRequested)
        {
            // Nobody is left to answer; the status is for the log.
            if (!http.Response.HasStarted)
            {
                http.Response.StatusCode = StatusCodes.Status499ClientClosedRequest;
            }

            return;
        }
        catch (Exception fault) when (!http.Response.HasStarted)
        {
            var problem = Problems.OfFault(fault);
            if (problem.Type.Status >= StatusCodes.Status500InternalServerError)
            {
                log.LogError(fault, "The request failed");
            }

            http.Response.Clear();
            await problem.ExecuteAsync(http);
            return;
        }

        var response = http.Response;
        if (HttpMethods.IsOptions(http.Request.Method)
            && response is { StatusCode: StatusCodes.Status405MethodNotAllowed, HasStarted: false })
        {
            response.StatusCode = StatusCodes.Status204NoContent;
        }

        if (response is { StatusCode: >= 400, HasStarted: false, ContentType: null, ContentLength: null or 0 })
        {
            await Problems.OfStatus(response.StatusCode).ExecuteAsync(http);
        }
    }

    private static int? TooBig(HttpRequest request)
    {
        if (request.Path.Value?.Length + request.QueryString.Value?.Length > LongestAddress)
        {
            return StatusCodes.Status414UriTooLong;
        }

        var size = 0;
        foreach (var header in request.Headers)
        {
            size += header.Key.Length;
            foreach (var value in header.Value)
            {
                size += value?.Length ?? 0;
            }
        }

        return size > LargestHeaders ? StatusCodes.Status431RequestHeaderFieldsTooLarge : null;
    }
}
