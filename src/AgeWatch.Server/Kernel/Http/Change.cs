using System.Diagnostics.CodeAnalysis;
using System.Reflection;
using System.Text.Json;
using System.Text.Json.Nodes;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.Metadata;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>
/// The parameter of every PATCH: If-Match and a merge patch together. The patch is laid over the record's own request
/// form and the result is read as strictly as a new one.
/// </summary>
internal sealed class Change<T> : IBindableFromHttpContext<Change<T>>, IEndpointParameterMetadataProvider, IRefusable
    where T : class
{
    private readonly IfMatch _ifMatch;
    private readonly JsonNode? _patch;

    private Change(IfMatch ifMatch, JsonNode? patch, Problem? problem) =>
        (_ifMatch, _patch, Problem) = (ifMatch, patch, problem);

    public Problem? Problem { get; }

    /// <param name="row">Its version is checked first: 412.</param>
    /// <param name="current">The row as the request that would make it.</param>
    /// <param name="wanted">What it is to become. A result that cannot stand is 422 (RFC 5789 section 2.2).</param>
    public bool TryApply(
        IVersioned row, T current, [NotNullWhen(true)] out T? wanted, [NotNullWhen(false)] out Problem? problem)
    {
        wanted = null;
        if (!_ifMatch.Allows(row, out problem))
        {
            return false;
        }

        var merged = MergePatch.Apply(JsonSerializer.SerializeToNode(current, WireJson.Options), _patch);
        List<FieldError> errors = [];
        if (StrictReader.TryRead<T>(JsonSerializer.SerializeToElement(merged, WireJson.Options), errors, out var read))
        {
            ValueCheck.Collect(read, errors);
        }

        if (errors.Count > 0)
        {
            problem = Problems.Invalid(errors);
            return false;
        }

        wanted = read;
        return true;
    }

    public static async ValueTask<Change<T>?> BindAsync(HttpContext context, ParameterInfo parameter)
    {
        var ifMatch = (await IfMatch.BindAsync(context, parameter))!;
        if (ifMatch.Problem is { } refused)
        {
            return new(ifMatch, null, refused);
        }

        var (json, problem) = await RequestBody.ReadJsonAsync(context, MergePatch.MediaType);
        if (json is null)
        {
            return new(ifMatch, null, problem);
        }

        using (json)
        {
            List<FieldError> errors = [];
            StrictReader.CheckNames(json.RootElement, errors);
            return errors.Count > 0
                ? new(ifMatch, null, Problems.MalformedBody(errors))
                : new(ifMatch, JsonSerializer.SerializeToNode(json.RootElement), null);
        }
    }

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder)
    {
        IfMatch.PopulateMetadata(parameter, builder);
        builder.Metadata.Add(new AcceptsMetadata([MergePatch.MediaType], typeof(T)));
    }
}
