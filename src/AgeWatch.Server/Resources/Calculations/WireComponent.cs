using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Server.Resources.Services;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>The part asked about.</summary>
internal sealed record WireComponent(
    [StringLength(64, MinimumLength = 1), OneLine] string PartKind,
    bool Original = false,
    [MaxLength(50)] IReadOnlyList<EvidenceRequest>? Evidence = null,
    IReadOnlyList<FindingRequest>? Findings = null,
    DeferralRequest? Deferral = null)
{
    public ComponentRecord ToRecord() => new()
    {
        IsOnVehicle = true,
        WasOnVehicle = false,
        Original = Original,
        Evidence = [.. (Evidence ?? []).Select(e => e.Kind)],
    };
}

/// <summary>The service task asked about.</summary>
/// <param name="LastDone">Absent: never on record.</param>
/// <param name="Done">Earlier times, when the overrun of the last interval matters.</param>
internal sealed record WireServiceTask(
    [StringLength(64, MinimumLength = 1), OneLine] string PartKind,
    ServiceRecordRequest? LastDone = null,
    IReadOnlyList<ServiceRecordRequest>? Done = null,
    IReadOnlyList<FindingRequest>? Findings = null,
    DeferralRequest? Deferral = null);
