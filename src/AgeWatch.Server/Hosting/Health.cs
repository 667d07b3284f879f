using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Diagnostics.HealthChecks;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace AgeWatch.Server.Hosting;

/// <summary>
/// <c>/health/live</c> asks the process alone; <c>/health/ready</c> whether requests can be answered, and beside it
/// whether the background work is late; <c>/health/work</c> fails when it is.
/// </summary>
internal static class Health
{
    public static IHealthChecksBuilder AddHealth(this IServiceCollection services) =>
        services.AddHealthChecks().AddCheck<DatabaseCheck>("database");

    public static void MapHealth(this IEndpointRouteBuilder routes)
    {
        routes.MapHealthChecks("/health/live", Options(_ => false)).AllowAnonymous();
        routes.MapHealthChecks("/health/ready", Options(_ => true)).AllowAnonymous();

        // Late mail must not take the list of what is due off the net, so it has an address of its own.
        var work = Options(_ => true, worst: HealthStatus.Degraded);
        work.ResultStatusCodes[HealthStatus.Degraded] = StatusCodes.Status503ServiceUnavailable;
        routes.MapHealthChecks("/health/work", work).AllowAnonymous();
    }

    /// <param name="worst">From this on downwards it is refused.</param>
    private static HealthCheckOptions Options(
        Func<HealthCheckRegistration, bool> which, HealthStatus worst = HealthStatus.Unhealthy) =>
        new()
        {
            Predicate = which,
            ResponseWriter = (http, report) =>
            WriteAsync(http, report, worst),
            AllowCachingResponses = true
        };

    // Names of checks only: descriptions and faults can hold hosts and versions, and anyone may ask.
    private static Task WriteAsync(HttpContext http, HealthReport report, HealthStatus worst)
    {
        var checks = report.Entries.ToDictionary(entry => entry.Key, entry => Word(entry.Value.Status));
        if (report.Status <= worst)
        {
            var wrong = string.Join(", ", checks.Where(check => check.Value != Word(HealthStatus.Healthy))
                .Select(check => $"{check.Key} {check.Value}"));
            Problem problem = new(
                Problems.NotReadyType, $"Not as it should be: {wrong}.")
            { More = { ["checks"] = checks } };
            return problem.ExecuteAsync(http);
        }

        return http.Response.WriteAsJsonAsync(new { status = Word(report.Status), checks }, http.RequestAborted);
    }

    private static string Word(HealthStatus status) => status switch
    {
        HealthStatus.Healthy => "ok",
        HealthStatus.Degraded => "late",
        HealthStatus.Unhealthy => "failed",
    };
}

internal sealed class DatabaseCheck(AgeWatchContext db) : IHealthCheck
{
    public async Task<HealthCheckResult> CheckHealthAsync(
        HealthCheckContext context, CancellationToken cancellationToken = default) =>
        await db.IsSchemaCurrentAsync(cancellationToken)
            ? HealthCheckResult.Healthy()
            : HealthCheckResult.Unhealthy("The schema is not the one this program knows.");
}
