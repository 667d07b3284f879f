using System.ComponentModel.DataAnnotations;
using NodaTime;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>What the first start makes when the database is empty.</summary>
internal sealed record ClubOptions : IValidatableObject
{
    [StringLength(200, MinimumLength = 1, ErrorMessage = "AGEWATCH_CLUB must have 1 to 200 characters.")]
    public string Club { get; init; } = "My club";

    public string Zone { get; init; } = "UTC";

    public string? FirstKey { get; init; }

    public IEnumerable<ValidationResult> Validate(ValidationContext validationContext)
    {
        if (DateTimeZoneProviders.Tzdb.GetZoneOrNull(Zone) is null)
        {
            yield return new("AGEWATCH_ZONE must be an IANA time zone such as Europe/London.");
        }

        if (!string.IsNullOrEmpty(FirstKey) && KeyText.WhyRefused(FirstKey) is { } reason)
        {
            yield return new($"AGEWATCH_FIRST_KEY {reason}");
        }
    }
}
