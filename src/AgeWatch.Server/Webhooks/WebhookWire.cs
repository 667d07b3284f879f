using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Webhooks;

namespace AgeWatch.Server.Webhooks;

/// <param name="Url">https; where the operator has opened private networks, http and any port within them too.</param>
/// <param name="EventTypes">Only these of due.changed, member.mail_suspended and webhook.disabled; absent or empty:
/// all.</param>
/// <param name="VehicleId">Of due.changed only this vehicle's; absent: all, and the shelf's.</param>
/// <param name="LeastHazard">Of due.changed only this class and worse.</param>
/// <param name="LeastState">Of due.changed only this state and worse, and what has just left them.</param>
internal sealed record WebhookRequest(
    [StringLength(200, MinimumLength = 1), OneLine] string Name,
    [StringLength(WebhookUrl.MaxLength, MinimumLength = 1), OneLine] string Url,
    [MaxLength(20)] IReadOnlyList<string>? EventTypes = null,
    bool Enabled = true,
    Guid? VehicleId = null,
    HazardClass LeastHazard = HazardClass.Negligible,
    DueState LeastState = DueState.InLife) : IChecked
{
    public static WebhookRequest From(Webhook w) =>
        new(
            w.Name, w.Url, w.EventTypes.Split(' ', StringSplitOptions.RemoveEmptyEntries), w.DisabledAt is null,
            w.VehicleId, w.LeastHazard, w.LeastState);

    public void Check(FieldFaults faults)
    {
        foreach (var (index, type) in (EventTypes ?? []).Index())
        {
            if (!EventType.All.Contains(type))
            {
                faults.AddItem(
                    nameof(EventTypes), index, "unknown-event-type",
                    $"There is no such event type. Known: {string.Join(", ", EventType.All)}.");
            }
        }
    }
}

/// <param name="KeepOldHours">How long the old secret signs along.</param>
internal sealed record RotateRequest([Range(0, 24 * 30)] int KeepOldHours = 24);

internal sealed record WebhookReply
{
    public required Guid Id { get; init; }

    public required string Name { get; init; }

    public required string Url { get; init; }

    public required IReadOnlyList<string> EventTypes { get; init; }

    public required bool Enabled { get; init; }

    public required DateTime? DisabledAt { get; init; }

    public required string? DisabledReason { get; init; }

    /// <summary>Start of the present run of failures.</summary>
    public required DateTime? FailingSince { get; init; }

    public required DateTime? PreviousSecretUntil { get; init; }

    public required Guid? VehicleId { get; init; }

    public required HazardClass LeastHazard { get; init; }

    public required DueState LeastState { get; init; }

    public required DateTime CreatedAt { get; init; }

    public static WebhookReply From(Webhook w) => new()
    {
        Id = w.Id,
        Name = w.Name,
        Url = w.Url,
        EventTypes = w.EventTypes.Split(' ', StringSplitOptions.RemoveEmptyEntries),
        Enabled = w.DisabledAt is null,
        DisabledAt = w.DisabledAt,
        DisabledReason = w.DisabledReason,
        FailingSince = w.FailingSince,
        PreviousSecretUntil = w.PreviousSecretUntil,
        VehicleId = w.VehicleId,
        LeastHazard = w.LeastHazard,
        LeastState = w.LeastState,
        CreatedAt = w.CreatedAt,
    };
}

/// <param name="Secret">Shown this once.</param>
internal sealed record NewWebhookReply(string Secret, WebhookReply Details);

internal sealed record DeliveryReply
{
    public required Guid Id { get; init; }

    public required string MessageId { get; init; }

    public required string EventType { get; init; }

    /// <summary>Of the event; 0 for a ping.</summary>
    public required long Sequence { get; init; }

    public required SendState State { get; init; }

    public required int Attempts { get; init; }

    /// <summary>HTTP status of the last try; null: no answer.</summary>
    public required int? Status { get; init; }

    public required string? Words { get; init; }

    public required DateTime? NextAttemptAt { get; init; }

    public required DateTime? AcceptedAt { get; init; }

    public required DateTime CreatedAt { get; init; }

    public static DeliveryReply From(WebhookDelivery d) => new()
    {
        Id = d.Id,
        MessageId = d.MessageId,
        EventType = d.EventType,
        Sequence = d.Sequence,
        State = d.State,
        Attempts = d.Attempts,
        Status = d.LastStatus,
        Words = d.LastReply,
        NextAttemptAt = d.NextAttemptAt,
        AcceptedAt = d.AcceptedAt,
        CreatedAt = d.CreatedAt,
    };
}
