using System.Net;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>The page behind each problem type's URI.</summary>
internal static class ProblemPages
{
    public static void MapProblemPages(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/problems/{name}", Show).AllowAnonymous().ExcludeFromDescription();

    private static IResult Show(string name, HttpResponse response)
    {
        if (Problems.All.FirstOrDefault(type => type.Name == name) is not { } type)
        {
            return Problems.NotFound();
        }

        response.Headers.CacheControl = "public, max-age=3600";
        response.Headers.ContentSecurityPolicy = "default-src 'none'; style-src 'unsafe-inline'";
        return Results.Content(
            $"""
            <!doctype html>
            <html lang="en">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width">
            <title>{WebUtility.HtmlEncode(type.Title)} - AgeWatch</title>
            <style>body {"{"} font-family: sans-serif; max-width: 40em; margin: 3em auto; padding: 0 1em; color: #111; background: #fff {"}"}</style>
            </head>
            <body>
            <h1>{WebUtility.HtmlEncode(type.Title)}</h1>
            <p>Problem type <code>{type.Name}</code>, HTTP status {type.Status}.</p>
            <p>{WebUtility.HtmlEncode(type.Help)}</p>
            </body>
            </html>
            """,
            "text/html; charset=utf-8");
    }
}
