
namespace AgeWatch.Server.Kernel.Http;

/// <summary>The group that every endpoint of <c>/v1</c> hangs on; what it adds, no handler needs to think of.</summary>
internal static class Api
{
    private static readonly string[] Json = ["application/json"];

    public static void AddV1(this IServiceCollection services)
    {
        services.ConfigureHttpJsonOptions(json => WireJson.Configure(json.SerializerOptions));
        services.AddSingleton<Cursor>();
        services.AddKeys();
    }

    public static RouteGroupBuilder MapV1(this IEndpointRouteBuilder routes)
    {
        routes.MapOpenApi("/openapi/{documentName}.json").AllowAnonymous();
        routes.MapProblemPages();
        var v1 = routes.MapGroup("/v1");
        v1.AddEndpointFilter(RefuseAsync);
        v1.AddEndpointFilter(RetryOnConflict.AgainAsync);
        ((IEndpointConventionBuilder)v1).Add(AnswerHead);
        return v1;
    }

    /// <summary>A group for one resource, with its name and a sentence for the document.</summary>
    public static RouteGroupBuilder MapResource(
        this IEndpointRouteBuilder v1, string path, string tag, string description) =>
        v1.MapGroup(path).WithTags(tag).WithMetadata(new ResourceTag(tag, description));

    /// <summary>The operationId, which clients generate their names from, and a line on what it does.</summary>
    public static RouteHandlerBuilder Named(this RouteHandlerBuilder route, string operationId, string summary) =>
        route.WithName(operationId).WithSummary(summary);

    private static async ValueTask<object?> RefuseAsync(
        EndpointFilterInvocationContext context, EndpointFilterDelegate next)
    {
        var metadata = context.HttpContext.GetEndpoint()!.Metadata;
        var known = metadata.GetOrderedMetadata<QueryParameter>();
        List<FieldError> errors = [.. context.HttpContext.Request.Query.Keys
            .Where(name => !known.Any(parameter => parameter.Name == name))
            .Select(name => new FieldError("unknown-parameter", known.Count == 0
                ? "This address takes no parameters."
                : $"There is no such parameter here. Known: "
                    + $"{string.Join(", ", known.Select(parameter => parameter.Name))}.",
                Parameter: name))];

        Problem? first = null;
        foreach (var argument in context.Arguments)
        {
            if (argument is IRefusable { Problem: { } problem })
            {
                if (problem.Type == Problems.InvalidParameterType)
                {
                    errors.AddRange(problem.Errors);
                }
                else
                {
                    first ??= problem;
                }
            }
        }

        var offered = metadata.GetMetadata<Offers>()?.MediaTypes ?? Json;
        return errors.Count > 0 ? Problems.InvalidParameter(errors)
            : first is not null ? first
            : !offered.Any(type =>
                Accept.Quality(context.HttpContext.Request, type) > 0) ? Problems.NotAcceptable(offered)
            : await next(context);
    }

    // HEAD is GET without the body, which Kestrel leaves out by itself.
    private static void AnswerHead(EndpointBuilder endpoint)
    {
        for (var i = 0; i < endpoint.Metadata.Count; i++)
        {
            if (endpoint.Metadata[i] is HttpMethodMetadata { HttpMethods: ["GET"] })
            {
                endpoint.Metadata[i] = new HttpMethodMetadata(["GET", "HEAD"]);
            }
        }
    }
}

/// <summary>The media types of a route that does not answer in JSON alone.</summary>
internal sealed record Offers(params string[] MediaTypes);

internal sealed record ResourceTag(string Name, string Description);
