using System.Text.Json;
using System.Text.Json.Nodes;
using AgeWatch.Server.Http;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Ways;

namespace AgeWatch.Server.Delivery.Webhooks;

/// <summary>An event as a webhook gets it. The body is written once; its very characters are signed and sent at every try.</summary>
internal static class WebhookMessage
{
    public const string Ping = "webhook.ping";

    public static WebhookDelivery Of(Webhook webhook, ClubEvent happened, DateTime now) =>
        Of(webhook, happened.Type, happened.Sequence, happened.At, Data(happened), now);

    /// <summary>A try-out that stands in no order with the events.</summary>
    public static WebhookDelivery PingOf(Webhook webhook, DateTime now) =>
        Of(webhook, Ping, sequence: 0, now, new JsonObject { ["webhookId"] = webhook.Id }, now);

    public static bool Wants(Webhook webhook, string eventType) =>
        webhook.EventTypes.Length == 0 || webhook.EventTypes.Split(' ').Contains(eventType);

    private static WebhookDelivery Of(Webhook webhook, string type, long sequence, DateTime at, JsonObject data, DateTime now)
    {
        var id = Guid.CreateVersion7(new DateTimeOffset(now));
        return new()
        {
            ClubId = webhook.ClubId,
            Id = id,
            WebhookId = webhook.Id,
            Sequence = sequence,

            // One event is one message to one webhook, however often it is fanned out.
            MessageId = sequence == 0 ? $"msg_{id:n}" : $"msg_{webhook.Id:n}_{sequence}",
            EventType = type,
            Body = new JsonObject
            {
                ["type"] = type,
                ["timestamp"] = InstantConverter.Text(at),
                ["sequence"] = sequence,
                ["data"] = data,
            }.ToJsonString(WireJson.Options),
            State = SendState.Waiting,
            CreatedAt = now,
        };
    }

    private static JsonObject Data(ClubEvent happened)
    {
        var data = JsonNode.Parse(happened.Content)?.AsObject() ?? [];
        if (happened.SubjectId is { } subject)
        {
            data.TryAdd("subjectId", JsonSerializer.SerializeToNode(subject));
        }

        if (happened.VehicleId is { } vehicle)
        {
            data.TryAdd("vehicleId", JsonSerializer.SerializeToNode(vehicle));
        }

        return data;
    }
}
