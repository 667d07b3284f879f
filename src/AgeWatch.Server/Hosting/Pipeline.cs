using System.Text.RegularExpressions;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using Microsoft.AspNetCore.HttpOverrides;
using Serilog;
using Serilog.Context;

namespace AgeWatch.Server.Hosting;

/// <summary>What every request passes through, in this order.</summary>
internal static partial class Pipeline
{
    private const string RequestIdHeader = "X-Request-Id";

    public static void UseAgeWatchPipeline(this WebApplication app)
    {
        var web = app.Services.GetRequiredService<WebOptions>();
        if (web.Proxies is { Count: > 0 } proxies)
        {
            app.UseForwardedHeaders(Trust(proxies));
        }

        if (web.PublicBase is { } address && new Uri(address).AbsolutePath is { Length: > 1 } prefix)
        {
            app.UsePathBase(prefix);
        }

        app.Use(NameRequest);
        app.UseSerilogRequestLogging(Logging.LogRequests);
        app.UseMiddleware<ProblemMiddleware>();
        app.UseRouting();
        app.UseAuthentication();
        app.UseAuthorization();
    }

    public static void ConfigureKestrel(Microsoft.AspNetCore.Server.Kestrel.Core.KestrelServerOptions kestrel)
    {
        kestrel.AddServerHeader = false;
        kestrel.Limits.MaxRequestBodySize = 1024 * 1024;
        kestrel.Limits.MaxRequestLineSize = 2 * ProblemMiddleware.LongestAddress;
        kestrel.Limits.MaxRequestHeadersTotalSize = 2 * ProblemMiddleware.LargestHeaders;
        kestrel.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(15);
    }

    // The caller's own id goes through when it cannot hurt a log; it ties their log to ours.
    private static async Task NameRequest(HttpContext http, RequestDelegate next)
    {
        if (http.Request.Headers[RequestIdHeader] is [{ } sent] && Id().IsMatch(sent))
        {
            http.TraceIdentifier = sent;
        }
        else
        {
            http.TraceIdentifier = Guid.CreateVersion7().ToString("N");
        }

        http.Response.OnStarting(state =>
        {
            var (response, id) = ((HttpResponse, string))state;
            response.Headers[RequestIdHeader] = id;
            response.Headers.XContentTypeOptions = "nosniff";
            response.Headers["Referrer-Policy"] = "no-referrer";
            if (response.Headers.CacheControl.Count == 0)
            {
                response.Headers.CacheControl = "no-store";
            }

            return Task.CompletedTask;
        }, (http.Response, http.TraceIdentifier));
        using (LogContext.PushProperty("RequestId", http.TraceIdentifier))
        {
            await next(http);
        }
    }

    private static ForwardedHeadersOptions Trust(IReadOnlyList<System.Net.IPNetwork> proxies)
    {
        ForwardedHeadersOptions options = new()
        {
            ForwardedHeaders =
                ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto | ForwardedHeaders.XForwardedHost,
            ForwardLimit = null,
        };
        options.KnownIPNetworks.Clear();
        options.KnownProxies.Clear();
        foreach (var network in proxies)
        {
            options.KnownIPNetworks.Add(network);
        }

        return options;
    }

    [GeneratedRegex(@"\A[A-Za-z0-9._-]{1,64}\z")]
    private static partial Regex Id();
}
