using System.ComponentModel.DataAnnotations;

namespace AgeWatch.Server.Kernel.Http;

/// <param name="Quantity">What was measured; may be absent when the kind has only one threshold.</param>
internal sealed record WireMeasurement(
    [Range(-1_000_000, 1_000_000)] decimal Value,
    [StringLength(16, MinimumLength = 1), OneLine] string Unit,
    [StringLength(100), OneLine] string? Quantity = null);
