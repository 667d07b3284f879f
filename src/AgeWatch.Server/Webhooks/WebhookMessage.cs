using System.Diagnostics.CodeAnalysis;
using System.Text.Json;
using System.Text.Json.Nodes;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage.Changes;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Webhooks;

namespace AgeWatch.Server.Webhooks;

/// <summary>An event as a webhook gets it. The body is written once; its very characters are signed and sent at every
/// try.</summary>
internal static class WebhookMessage
{
    public const string Ping = "webhook.ping";

    public static WebhookDelivery Of(Webhook webhook, ClubEvent happened, DateTime now) =>
        Of(webhook, happened.Type, happened.Sequence, happened.At, Data(happened), now);

    /// <summary>A try-out that stands in no order with the events.</summary>
    public static WebhookDelivery PingOf(Webhook webhook, DateTime now) =>
        Of(webhook, Ping, sequence: 0, now, new JsonObject { ["webhookId"] = webhook.Id }, now);

    public static bool Wants(Webhook webhook, ClubEvent happened) =>
        (webhook.EventTypes.Length == 0 || webhook.EventTypes.Split(' ').Contains(happened.Type))
        && (happened.Type != EventType.DueChanged || WantsState(webhook, happened));

    /// <summary>What leaves the states asked for is told too: a receiver that shows a list must be able to strike it
    /// off.</summary>
    private static bool WantsState(Webhook webhook, ClubEvent happened)
    {
        if (webhook is { VehicleId: null, LeastHazard: HazardClass.Negligible, LeastState: DueState.InLife })
        {
            return true;
        }

        // What cannot be compared, of an older program perhaps, comes rather than not.
        return !TryRead(happened, out var content)
            || (webhook.VehicleId is null || webhook.VehicleId == content.VehicleId)
            && content.Hazard <= webhook.LeastHazard
            && (content.State <= webhook.LeastState || content.Before <= webhook.LeastState);
    }

    private static bool TryRead(ClubEvent happened, [NotNullWhen(true)] out DueChangedContent? content)
    {
        try
        {
            content = JsonSerializer.Deserialize<DueChangedContent>(happened.Content, WireJson.Options);
        }
        catch (JsonException)
        {
            content = null;
        }

        return content is not null;
    }

    private static WebhookDelivery Of(
        Webhook webhook, string type, long sequence, DateTime at, JsonObject data, DateTime now)
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
