using System.Text.Json.Serialization;
using AgeWatch.Server.Kernel.Settings;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A refusal on its way out, as RFC 9457 wants it. Handlers return it like any other result.</summary>
internal sealed record Problem(ProblemType Type, string Detail) : IResult
{
    public const string MediaType = "application/problem+json";

    public IReadOnlyList<FieldError> Errors { get; init; } = [];

    /// <summary>Members of its own, for what a program may branch on.</summary>
    public Dictionary<string, object> More { get; } = [];

    public Task ExecuteAsync(HttpContext httpContext)
    {
        httpContext.Response.StatusCode = Type.Status;
        httpContext.Response.Headers.CacheControl = "no-store";
        if (Type.Status == StatusCodes.Status415UnsupportedMediaType && HttpMethods.IsPatch(httpContext.Request.Method))
        {
            httpContext.Response.Headers["Accept-Patch"] = MergePatch.MediaType;
        }

        return httpContext.Response.WriteAsJsonAsync(
            ToReply(httpContext), WireJson.Options, MediaType, httpContext.RequestAborted);
    }

    private ProblemReply ToReply(HttpContext http) => new(
        Type.Name.Contains(':', StringComparison.Ordinal) ? Type.Name : $"{http.BaseAddress()}/problems/{Type.Name}",
        Type.Title,
        Type.Status,
        Detail,
        Redaction.OfPath(http.Request.PathBase.Add(http.Request.Path).ToUriComponent()),
        http.TraceIdentifier,
        Errors.Count > 0 ? Errors : null)
    {
        More = More.Count > 0 ? More : null,
    };
}

/// <summary>The wire form of every error.</summary>
internal sealed record ProblemReply(
    string Type,
    string Title,
    int Status,
    string Detail,
    string Instance,
    string TraceId,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] IReadOnlyList<FieldError>? Errors = null)
{
    [JsonExtensionData]
    public Dictionary<string, object>? More { get; init; }
}

/// <summary>For code too deep to return a problem; handlers return theirs.</summary>
internal sealed class RefusedException(Problem problem) : Exception(problem.Detail)
{
    public Problem Problem { get; } = problem;
}
