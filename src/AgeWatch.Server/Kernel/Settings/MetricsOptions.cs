using System.ComponentModel.DataAnnotations;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>Who may read the figures of the whole server: none of the clubs' keys, but one that the operator
/// sets.</summary>
internal sealed record MetricsOptions : IValidatableObject
{
    private const int ShortestKey = 32;

    /// <summary>Null: there is no such address.</summary>
    public string? MetricsKey { get; init; }

    public IEnumerable<ValidationResult> Validate(ValidationContext validationContext)
    {
        if (!string.IsNullOrEmpty(MetricsKey)
            && (MetricsKey.Length < ShortestKey || MetricsKey.Any(c => c is <= ' ' or > '~')))
        {
            yield return new($"AGEWATCH_METRICS_KEY must be at least {ShortestKey} visible ASCII characters without "
                + $"a blank (for example from: openssl rand -hex 32).");
        }
    }
}
