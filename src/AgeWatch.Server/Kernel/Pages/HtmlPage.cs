using System.Security.Cryptography;
using System.Text;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Kernel.Pages;

/// <summary>A whole page for a person: one file that loads nothing, runs nothing and can be printed in black and
/// white.</summary>
/// <param name="title">Also the page's only <c>h1</c>.</param>
/// <param name="body">What stands below the heading; style attributes in it would not count, classes do.</param>
/// <param name="css">The page's own rules, after the shared ones. Colours come from the variables, so that dark and
/// print follow.</param>
/// <param name="isSecret">Whoever has the address can read it: no cache keeps it and no search engine lists it.</param>
internal sealed class HtmlPage(
    string title, Html body, string css = "", string language = "en", int status = StatusCodes.Status200OK,
    bool isSecret = false)
        : IResult
{
    public const string MediaType = "text/html";

    private const string SharedCss = """
        :root { color-scheme: light dark; --ground: #fff; --text: #1a1a1a; --quiet: #4a4a4a; --line: #8a8a8a; --shade: #f1f1ef; --link: #0b4f8a; }
        @media (prefers-color-scheme: dark) { :root { --ground: #16181b; --text: #f2f2f2; --quiet: #c9cdd2; --line: #8b929a; --shade: #23272c; --link: #9ecbff; } }
        * { box-sizing: border-box; }
        body { margin: 0; background: var(--ground); color: var(--text); font: 1rem/1.45 system-ui, "Segoe UI", Roboto, Helvetica, Arial, sans-serif; overflow-wrap: anywhere; }
        main { max-width: 60rem; margin: 0 auto; padding: 1rem; }
        h1 { font-size: 1.6rem; line-height: 1.25; margin: 0 0 .5rem; }
        h2 { font-size: 1.25rem; line-height: 1.3; margin: 1.8rem 0 .4rem; }
        h3 { font-size: 1.05rem; line-height: 1.35; margin: 1.2rem 0 .3rem; }
        h1, h2, h3, caption { break-after: avoid; }
        p, ul, ol, dl { margin: .4rem 0; }
        a { color: var(--link); }
        .quiet { color: var(--quiet); }
        time, .tag, .keep { white-space: nowrap; }
        .tag { border: 1px solid var(--line); border-radius: .2rem; padding: 0 .3rem; font-size: .85em; }
        table { width: 100%; border-collapse: collapse; margin: .6rem 0; }
        caption { text-align: start; font-weight: bold; padding: .3rem 0; }
        th, td { text-align: start; vertical-align: top; padding: .3rem .4rem; border-bottom: 1px solid var(--line); }
        thead { display: table-header-group; }
        tr, figure, .whole { break-inside: avoid; }
        svg { max-width: 100%; height: auto; }
        @media print {
        :root { color-scheme: light; --ground: #fff; --text: #000; --quiet: #000; --line: #000; --shade: #fff; --link: #000; }
        @page { margin: 15mm; }
        body { font-size: 10.5pt; }
        main { max-width: none; padding: 0; }
        a { text-decoration: none; }
        .screen { display: none; }
        }
        """;

    public Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        var style = (SharedCss + css).ReplaceLineEndings("\n");
        Html head = $"""
            <!doctype html>
            <html lang="{language}">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <meta name="color-scheme" content="light dark">
            <title>{title} - AgeWatch</title>
            <style>
            """;
        Html rest = $"""
            </style>
            </head>
            <body>
            <main>
            <h1>{title}</h1>
            {body}
            </main>
            </body>
            </html>

            """;
        var bytes = Encoding.UTF8.GetBytes(head.ToString() + style + rest.ToString());
        response.StatusCode = status;
        Reply.SetPrivate(response);
        if (isSecret)
        {
            response.Headers.CacheControl = "private, no-store";
            response.Headers["X-Robots-Tag"] = "noindex, nofollow";
        }

        response.Headers.ContentSecurityPolicy =
            $"default-src 'none'; style-src "
                + $"'sha256-{Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(style)))}'; "
            + "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
        response.ContentType = MediaType + "; charset=utf-8";
        response.ContentLength = bytes.Length;
        return response.Body.WriteAsync(bytes, httpContext.RequestAborted).AsTask();
    }
}
