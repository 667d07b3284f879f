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

    public void Check(Complaints complaints)
    {
        foreach (var (index, type) in (EventTypes ?? []).Index())
        {
            if (!EventType.All.Contains(type))
            {
                complaints.AddItem(
                    nameof(EventTypes), index, "unknown-event-type",
                    $"There is no such event type. Known: {string.Join(", ", EventType.All)}.");
            }
        }
    }
}

/// <param name="KeepOldHours">How long the old secret signs along.</param>
internal sealed record RotateRequest([Range(0, 24 * 30)] int KeepOldHours = 24);

/// <param name="FailingSince">Start of the present run of failures.</param>
internal sealed record WebhookReply(
    Guid Id,
    string Name,
    string Url,
    IReadOnlyList<string> EventTypes,
    bool Enabled,
    DateTime? DisabledAt,
    string? DisabledReason,
    DateTime? FailingSince,
    DateTime? PreviousSecretUntil,
    Guid? VehicleId,
    HazardClass LeastHazard,
    DueState LeastState,
    DateTime CreatedAt)
{
    public static WebhookReply From(Webhook w) => new(
        w.Id, w.Name, w.Url, w.EventTypes.Split(' ', StringSplitOptions.RemoveEmptyEntries), w.DisabledAt is null,
        w.DisabledAt, w.DisabledReason, w.FailingSince, w.PreviousSecretUntil,
        w.VehicleId, w.LeastHazard, w.LeastState, w.CreatedAt);
}

/// <param name="Secret">Shown this once.</param>
internal sealed record NewWebhookReply(string Secret, WebhookReply Details);

/// <param name="Status">HTTP status of the last try; null: no answer.</param>
/// <param name="Sequence">Of the event; 0 for a ping.</param>
internal sealed record DeliveryReply(
    Guid Id,
    string MessageId,
    string EventType,
    long Sequence,
    SendState State,
    int Attempts,
    int? Status,
    string? Words,
    DateTime? NextAttemptAt,
    DateTime? AcceptedAt,
    DateTime CreatedAt)
{
    public static DeliveryReply From(WebhookDelivery d) => new(
        d.Id, d.MessageId, d.EventType, d.Sequence, d.State, d.Attempts, d.LastStatus, d.LastReply, d.NextAttemptAt,
        d.AcceptedAt, d.CreatedAt);
}
