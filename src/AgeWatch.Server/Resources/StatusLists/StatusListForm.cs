using System.Reflection;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;
using Microsoft.AspNetCore.Http.Metadata;

namespace AgeWatch.Server.Resources.StatusLists;

internal enum StatusListFormat
{
    Json,
    Html,
    Csv,
}

/// <summary>As <see cref="HtmlChoice"/>, with a table for spreadsheets as the third form.</summary>
internal sealed record StatusListForm(StatusListFormat Format, Problem? Problem)
    : IBindableFromHttpContext<StatusListForm>, IEndpointParameterMetadataProvider, IRefusable
{
    private const string Name = "format";

    // JSON first: of equal wishes the first wins.
    private static readonly (StatusListFormat Format, string MediaType)[] Forms =
        [
            (StatusListFormat.Json, "application/json"), (StatusListFormat.Html, HtmlPage.MediaType),
            (StatusListFormat.Csv, "text/csv")];

    public static ValueTask<StatusListForm?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        ValueTask.FromResult<StatusListForm?>(Read(context.Request));

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder)
    {
        builder.Metadata.Add(new Offers([.. Forms.Select(form => form.MediaType)]));
        builder.Metadata.Add(new QueryParameter(Name, typeof(StatusListFormat), IsRequired: false, [],
            "The form of the answer when Accept does not say it: JSON, a page to print, or a table for spreadsheets."));
    }

    private static StatusListForm Read(HttpRequest request) => request.Query[Name] switch
    {
        [] => new(Forms.MaxBy(form => Accept.Quality(request, form.MediaType)).Format, null),
        [{ } only] when WireNames.TryRead<StatusListFormat>(only, out var format) => new(format, null),
        _ => new(default, Problems.InvalidParameter(Name, "unknown-value", "Must be one of: json, html, csv.")),
    };
}
