using System.Reflection;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.Http.Metadata;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>As <see cref="Body{T}"/>, for a request that may also come without a body.</summary>
internal sealed class OptionalBody<T> : IBindableFromHttpContext<OptionalBody<T>>,
    IEndpointParameterMetadataProvider, IRefusable
    where T : class
{
    private readonly Body<T>? _sent;

    private OptionalBody(Body<T>? sent) => _sent = sent;

    /// <summary>Null: nothing was sent.</summary>
    public T? Value => _sent?.Value;

    public Problem? Problem => _sent?.Problem;

    public static async ValueTask<OptionalBody<T>?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        new(context.Features.Get<IHttpRequestBodyDetectionFeature>() is { CanHaveBody: false }
            ? null
            : await Body<T>.BindAsync(context, parameter));

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder) =>
        builder.Metadata.Add(new AcceptsMetadata(["application/json"], typeof(T), isOptional: true));
}
