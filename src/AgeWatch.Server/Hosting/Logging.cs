using System.Globalization;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using Serilog;
using Serilog.AspNetCore;
using Serilog.Events;
using Serilog.Formatting;
using Serilog.Formatting.Compact;
using Serilog.Formatting.Display;

namespace AgeWatch.Server.Hosting;

internal static class Logging
{
    public static void AddAgeWatchLogging(this WebApplicationBuilder builder, LogOptions options)
    {
        builder.Logging.ClearProviders();
        builder.Services.AddSerilog((services, logger) => logger
            .MinimumLevel.Is(options.Level)

            // The framework's own lines hold whole addresses with their query, and say little else.
            .MinimumLevel.Override("Microsoft", LogEventLevel.Warning)
            .MinimumLevel.Override("System", LogEventLevel.Warning)
            .MinimumLevel.Override("Hangfire", LogEventLevel.Warning)

            // A refused write is logged by whoever cannot cope with it; a second row of the same name is no error of
            // ours.
            .MinimumLevel.Override("Microsoft.EntityFrameworkCore.Database.Command", LogEventLevel.Fatal)
            .MinimumLevel.Override("Microsoft.EntityFrameworkCore.Update", LogEventLevel.Fatal)
            .MinimumLevel.Override("Microsoft.Hosting.Lifetime", options.Level)
            .Enrich.FromLogContext()
            .ReadFrom.Services(services)
            .WriteTo.Console(new RedactingFormatter(FormatterOf(options))));
    }

    public static void LogRequests(RequestLoggingOptions options)
    {
        options.MessageTemplate = "{RequestMethod} {RequestPath} {StatusCode} in {Elapsed:0.0} ms";
        options.GetMessageTemplateProperties = (http, _, elapsed, status) =>
        [
            new("RequestMethod", new ScalarValue(http.Request.Method)),
            new("RequestPath", new ScalarValue(Redaction.OfPath(http.Request.Path.ToUriComponent()))),
            new("StatusCode", new ScalarValue(status)),
            new("Elapsed", new ScalarValue(elapsed)),
        ];
        options.EnrichDiagnosticContext = (diagnostics, http) =>
        {
            diagnostics.Set("RequestId", http.TraceIdentifier);
            if (http.Features.Get<Caller>() is { } caller)
            {
                diagnostics.Set("KeyId", caller.KeyId);
            }
        };
        options.GetLevel = (http, _, fault) =>
            fault is not null || http.Response.StatusCode >= 500 ? LogEventLevel.Error
            : IsWatch(http.Request.Path) && http.Response.StatusCode < 400 ? LogEventLevel.Debug
            : LogEventLevel.Information;
    }

    // Asked several times a minute by those who watch.
    private static bool IsWatch(PathString path) =>
        path.StartsWithSegments("/health", StringComparison.Ordinal)
            || path.StartsWithSegments("/metrics", StringComparison.Ordinal);

    private static ITextFormatter FormatterOf(LogOptions options) => options.IsJson
        ? new RenderedCompactJsonFormatter()
        : new MessageTemplateTextFormatter(
            "{Timestamp:yyyy-MM-dd HH:mm:ss.fff zzz} {Level:u3} {Message:lj}{NewLine}{Exception}",
            CultureInfo.InvariantCulture);
}
