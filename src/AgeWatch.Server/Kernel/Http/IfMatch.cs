using System.Diagnostics.CodeAnalysis;
using System.Reflection;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.Metadata;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>The route changes something that has a version; the document and a test ask for it.</summary>
internal sealed class RequiresIfMatch;

/// <summary>
/// Taking this parameter makes If-Match a duty of the caller: without it the answer is 428 before the handler runs.
/// The database's own version check catches whoever comes between this look and the write.
/// </summary>
internal sealed class IfMatch : IBindableFromHttpContext<IfMatch>, IEndpointParameterMetadataProvider, IRefusable
{
    private readonly TagList? _ifMatch;
    private readonly TagList? _ifNoneMatch;

    private IfMatch(IHeaderDictionary headers)
    {
        Problem = headers.IfMatch.Count == 0 ? Problems.PreconditionRequired()
            : !TagList.TryRead(headers.IfMatch, out _ifMatch) ? Malformed("If-Match")
            : headers.IfNoneMatch.Count > 0
                && !TagList.TryRead(headers.IfNoneMatch, out _ifNoneMatch) ? Malformed("If-None-Match")
            : null;
    }

    public Problem? Problem { get; }

    /// <summary>RFC 9110 section 13.2.2, steps 1 and 3, for a method that changes.</summary>
    public bool Allows(IVersioned row, [NotNullWhen(false)] out Problem? problem)
    {
        var current = EntityTag.Of(row);
        problem = !_ifMatch!.Holds(current) ? Problems.PreconditionFailed("If-Match")
            : _ifNoneMatch?.HoldsWeakly(current) == true ? Problems.PreconditionFailed("If-None-Match")
            : null;
        return problem is null;
    }

    public static ValueTask<IfMatch?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        ValueTask.FromResult<IfMatch?>(new(context.Request.Headers));

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder) =>
        builder.Metadata.Add(new RequiresIfMatch());

    public static Problem Malformed(string header) => Problems.InvalidParameter(
        header, "wrong-format", "Must be * or a list of entity tags in double quotes, as the ETag header gave them.");
}
