using AgeWatch.Server.Http;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Diagnostics.HealthChecks;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace AgeWatch.Server.Hosting;

/// <summary><c>/health/live</c> asks the process alone; <c>/health/ready</c> runs every registered check.</summary>
internal static class Health
{
    public static IHealthChecksBuilder AddHealth(this IServiceCollection services) =>
        services.AddHealthChecks().AddCheck<DatabaseCheck>("database");

    public static void MapHealth(this IEndpointRouteBuilder routes)
    {
        routes.MapHealthChecks("/health/live", Options(_ => false)).AllowAnonymous();
        routes.MapHealthChecks("/health/ready", Options(_ => true)).AllowAnonymous();
    }

    private static HealthCheckOptions Options(Func<HealthCheckRegistration, bool> which) =>
        new() { Predicate = which, ResponseWriter = WriteAsync, AllowCachingResponses = true };

    // Names of checks only: descriptions and faults can hold hosts and versions, and anyone may ask.
    private static Task WriteAsync(HttpContext http, HealthReport report)
    {
        var checks = report.Entries.ToDictionary(entry => entry.Key, entry => entry.Value.Status == HealthStatus.Unhealthy ? "failed" : "ok");
        if (report.Status == HealthStatus.Unhealthy)
        {
            var failed = string.Join(", ", checks.Where(check => check.Value == "failed").Select(check => check.Key));
            Problem problem = new(Problems.NotReadyType, $"Failed: {failed}.") { More = { ["checks"] = checks } };
            return problem.ExecuteAsync(http);
        }

        return http.Response.WriteAsJsonAsync(new { status = "ok", checks }, http.RequestAborted);
    }
}

internal sealed class DatabaseCheck(AgeWatchContext db) : IHealthCheck
{
    public async Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default) =>
        await db.IsSchemaCurrentAsync(cancellationToken)
            ? HealthCheckResult.Healthy()
            : HealthCheckResult.Unhealthy("The schema is not the one this program knows.");
}
