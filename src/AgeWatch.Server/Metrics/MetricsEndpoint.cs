using System.Security.Cryptography;
using System.Text;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Outbox;
using OpenTelemetry;
using OpenTelemetry.Metrics;

namespace AgeWatch.Server.Metrics;

/// <summary><c>/metrics</c>: the figures of this process and of the outboxes, for a Prometheus server that has the
/// operator's key.</summary>
internal static class MetricsEndpoint
{
    private const string Path = "/metrics";

    // Seconds. ASP.NET's own fourteen bounds times every route would be most of the answer.
    private static readonly double[] RequestBounds = [0.005, 0.025, 0.1, 0.5, 2.5, 10];

    // Neither the caller's address nor the address asked for: a feed's holds its secret.
    private static readonly string[] RequestLabels = ["http.request.method", "http.response.status_code", "http.route"];

    public static void AddFigures(this IServiceCollection services, IConfiguration configuration)
    {
        var options = configuration.Read<MetricsOptions>();
        services.AddSingleton(options);
        if (string.IsNullOrEmpty(options.MetricsKey))
        {
            return;
        }

        services.AddSingleton<PrometheusExporter>().AddSingleton<WorkFigures>();
        services.AddSingleton(provider => Sdk.CreateMeterProviderBuilder()
            .AddMeter(DeliveryMeter.Name, provider.GetRequiredService<WorkFigures>()
                .MeterName, "Microsoft.AspNetCore.Hosting", "System.Runtime")
            .AddView(instrument => instrument.Name switch
            {
                "http.server.request.duration" =>
                    new ExplicitBucketHistogramConfiguration { Boundaries = RequestBounds, TagKeys = RequestLabels },
                "http.server.active_requests" => new MetricStreamConfiguration { TagKeys = [] },
                _ => null,
            })
            .AddReader(provider.GetRequiredService<PrometheusExporter>().Reader)
            .Build());
    }

    public static void MapFigures(this WebApplication app)
    {
        if (app.Services.GetRequiredService<MetricsOptions>().MetricsKey is not { Length: > 0 } key)
        {
            return;
        }

        // Counting begins now, not with the first question.
        app.Services.GetRequiredService<MeterProvider>();
        var wanted = SHA256.HashData(Encoding.ASCII.GetBytes(key));
        app.MapGet(Path, (HttpContext http, PrometheusExporter exporter, WorkFigures work) =>
            IsAllowed(http.Request, wanted) ? ShowAsync(http, exporter, work) : Task.FromResult<IResult>(new Refused()))
                .AllowAnonymous()
                .ExcludeFromDescription();
    }

    private static async Task<IResult> ShowAsync(HttpContext http, PrometheusExporter exporter, WorkFigures work)
    {
        await work.ReadAsync(http.RequestAborted);
        return Results.Bytes(await exporter.CollectAsync(http.RequestAborted), PrometheusText.ContentType);
    }

    private static bool IsAllowed(HttpRequest request, byte[] wanted) =>
        request.Headers.Authorization is [{ } header]
            && header.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase)
        && CryptographicOperations.FixedTimeEquals(
            SHA256.HashData(Encoding.UTF8.GetBytes(header["Bearer ".Length..].Trim())), wanted);

    private sealed class Refused : IResult
    {
        public Task ExecuteAsync(HttpContext httpContext)
        {
            httpContext.Response.Headers.WWWAuthenticate = "Bearer realm=\"AgeWatch metrics\"";
            return Problems.OfStatus(StatusCodes.Status401Unauthorized).ExecuteAsync(httpContext);
        }
    }
}
