using System.ComponentModel.DataAnnotations;
using Serilog.Events;

namespace AgeWatch.Server.Kernel.Settings;

internal sealed record LogOptions
{
    [RegularExpression("text|json", ErrorMessage = "AGEWATCH_LOG must be text or json.")]
    public string Log { get; init; } = "text";

    [RegularExpression(
        "debug|information|warning|error",
        ErrorMessage = "AGEWATCH_LOG_LEVEL must be debug, information, warning or error.")]
    public string LogLevel { get; init; } = "information";

    public bool IsJson => Log == "json";

    public LogEventLevel Level => Enum.Parse<LogEventLevel>(LogLevel, ignoreCase: true);
}
