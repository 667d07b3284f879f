using System.ComponentModel.DataAnnotations;
using System.Net;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>The operator, never the API, opens private ranges to outgoing calls.</summary>
internal sealed record WebhookOptions : IValidatableObject
{
    public string? WebhookAllowCidr { get; init; }

    public IReadOnlyList<IPNetwork> Allowed => [.. Networks.Split(WebhookAllowCidr).Select(Networks.Parse)];

    public IEnumerable<ValidationResult> Validate(ValidationContext validationContext) =>
        Networks.Split(WebhookAllowCidr)
            .Where(part => !Networks.TryParse(part, out _))
            .Select(part => new ValidationResult($"AGEWATCH_WEBHOOK_ALLOW_CIDR: \"{part}\" is not a CIDR range."));
}
