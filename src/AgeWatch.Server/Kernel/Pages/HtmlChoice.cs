using System.Reflection;
using AgeWatch.Server.Kernel.Http;
using Microsoft.AspNetCore.Http.Metadata;

namespace AgeWatch.Server.Kernel.Pages;

internal enum PageFormat
{
    Json,
    Html,
}

/// <summary>
/// Taking this parameter offers the route as a page too. JSON is the answer unless the caller would rather have HTML:
/// by Accept, or by
/// <c>format</c>, which stands above it because a pasted address carries no header.
/// </summary>
internal sealed record HtmlChoice(bool IsHtml, Problem? Problem)
    : IBindableFromHttpContext<HtmlChoice>, IEndpointParameterMetadataProvider, IRefusable
{
    private const string Json = "application/json";
    private const string Name = "format";

    public static ValueTask<HtmlChoice?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        ValueTask.FromResult<HtmlChoice?>(Read(context.Request));

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder)
    {
        builder.Metadata.Add(new Offers(Json, HtmlPage.MediaType));
        builder.Metadata.Add(new QueryParameter(Name, typeof(PageFormat), IsRequired: false, [],
            "The form of the answer when Accept does not say it: a page for people, or JSON."));
    }

    private static HtmlChoice Read(HttpRequest request) => request.Query[Name] switch
    {
        [] => new(Accept.Quality(request, HtmlPage.MediaType) > Accept.Quality(request, Json), null),
        ["json"] => new(false, null),
        ["html"] => new(true, null),
        _ => new(false, Problems.InvalidParameter(Name, "unknown-value", "Must be one of: json, html.")),
    };
}
