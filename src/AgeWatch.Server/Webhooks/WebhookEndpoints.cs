using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Webhooks;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Webhooks;

internal static class WebhookEndpoints
{
    public const int MostPerClub = 50;

    public static void MapWebhooks(this IEndpointRouteBuilder v1)
    {
        var webhooks = v1.MapResource(
            "/webhooks", "Webhooks",
            "Addresses that are told of events, signed by Standard Webhooks 1.0.").ForOfficers();
        webhooks.MapGet("", List).Named("listWebhooks", "List the webhooks");
        webhooks.MapPost("", Create).Named("createWebhook", "Make a webhook; its secret is shown this once");
        webhooks.MapGet("/{id:guid}", Get).Named("getWebhook", "Read one webhook");
        webhooks.MapPatch("/{id:guid}", Patch).Named("changeWebhook", "Change a webhook, or enable it again");
        webhooks.MapDelete("/{id:guid}", Delete).Named("removeWebhook", "Remove a webhook and its deliveries");
        webhooks.MapPost("/{id:guid}/ping", Ping).Named("pingWebhook", "Send a webhook.ping");
        webhooks.MapPost("/{id:guid}/rotate", Rotate)
            .Named("rotateWebhookSecret", "Make a new secret; the old one signs along for a while");
        webhooks.MapGet("/{id:guid}/deliveries", Deliveries)
            .Named("listWebhookDeliveries", "List the deliveries, the newest first");
        webhooks.MapPost("/{id:guid}/deliveries/{deliveryId:guid}/redeliver", Redeliver)
            .Named("redeliverWebhook", "Send a delivery once more");
    }

    private static Task<Page<WebhookReply>> List(
        PageQuery page, AgeWatchContext db, CancellationToken stop) =>
        page.ReadAsync(
            db.Webhooks.AsNoTracking(), Keyset.By((Webhook w) => w.Id), w =>
                WebhookReply.From(w), stop);

    private static async Task<Results<TaggedCreated<NewWebhookReply>, Problem>> Create(
        Body<WebhookRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, AddressPolicy policy,
        SecretBox box, TimeProvider clock, CancellationToken stop)
    {
        if (WebhookUrl.Objection(body.Value.Url, policy) is { } objection)
        {
            return Refuse(objection);
        }

        if (await NoSuchVehicleAsync(body.Value, db, stop) is { } problem)
        {
            return problem;
        }

        if (await db.Webhooks.CountAsync(stop) >= MostPerClub)
        {
            return Problems.Conflict($"A club may have {MostPerClub} webhooks.");
        }

        var secret = WebhookSecret.Make();
        var id = Guid.CreateVersion7(clock.GetUtcNow());
        var webhook = new Webhook
        {
            ClubId = caller.ClubId,
            Id = id,
            Name = body.Value.Name,
            Url = body.Value.Url,
            EventTypes = string.Join(' ', body.Value.EventTypes ?? []),
            VehicleId = body.Value.VehicleId,
            LeastHazard = body.Value.LeastHazard,
            LeastState = body.Value.LeastState,
            Secret = box.Seal(caller.ClubId, id, secret),
            DeliveredThrough = await LatestAsync(db, stop),
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        };
        if (!body.Value.Enabled)
        {
            Disable(webhook, clock);
        }

        db.Webhooks.Add(webhook);
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Created($"/v1/webhooks/{id}", webhook, new NewWebhookReply(secret, WebhookReply.From(webhook)));
    }

    private static async Task<Results<Tagged<WebhookReply>, Problem>> Get(
        Guid id, AgeWatchContext db, CancellationToken stop) =>
        await FindAsync(db, id, stop) is { } webhook
            ? Reply.Of(webhook, WebhookReply.From(webhook))
            : Problems.NotFound();

    private static async Task<Results<Tagged<WebhookReply>, Problem>> Patch(
        Guid id, Change<WebhookRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        AddressPolicy policy, TimeProvider clock, CancellationToken stop)
    {
        if (await FindAsync(db, id, stop) is not { } webhook)
        {
            return Problems.NotFound();
        }

        if (!change.TryApply(webhook, WebhookRequest.From(webhook), out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted.Url != webhook.Url && WebhookUrl.Objection(wanted.Url, policy) is { } objection)
        {
            return Refuse(objection);
        }

        if (await NoSuchVehicleAsync(wanted, db, stop) is { } noVehicle)
        {
            return noVehicle;
        }

        webhook.Name = wanted.Name;
        webhook.Url = wanted.Url;
        webhook.EventTypes = string.Join(' ', wanted.EventTypes ?? []);
        (
            webhook.VehicleId, webhook.LeastHazard,
            webhook.LeastState) = (wanted.VehicleId, wanted.LeastHazard, wanted.LeastState);
        if (!wanted.Enabled && webhook.DisabledAt is null)
        {
            Disable(webhook, clock);
        }
        else if (wanted.Enabled && webhook.DisabledAt is not null)
        {
            // What happened meanwhile is in /v1/events; it is not poured out over a receiver that has just come back.
            webhook.DisabledAt = null;
            webhook.DisabledReason = null;
            webhook.FailingSince = null;
            webhook.DeliveredThrough = await LatestAsync(db, stop);
        }

        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Of(webhook, WebhookReply.From(webhook));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (await FindAsync(db, id, stop) is not { } webhook)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(webhook, out var problem))
        {
            return problem;
        }

        db.Webhooks.Remove(webhook);
        await writer.SaveAsync(caller.ClubId, stop);
        return TypedResults.NoContent();
    }

    private static async Task<Results<Accepted<DeliveryReply>, Problem>> Ping(
        Guid id, AgeWatchContext db, TimeProvider clock, CancellationToken stop)
    {
        if (await FindAsync(db, id, stop) is not { } webhook)
        {
            return Problems.NotFound();
        }

        if (webhook.DisabledAt is not null)
        {
            return Problems.Conflict("The webhook is disabled; enable it first.");
        }

        var ping = WebhookMessage.PingOf(webhook, clock.GetUtcNow().UtcDateTime);
        db.WebhookDeliveries.Add(ping);
        await db.SaveChangesAsync(stop);
        return TypedResults.Accepted((string?)null, DeliveryReply.From(ping));
    }

    private static async Task<Results<Tagged<NewWebhookReply>, Problem>> Rotate(
        Guid id, IfMatch ifMatch, Body<RotateRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        SecretBox box, TimeProvider clock, CancellationToken stop)
    {
        if (await FindAsync(db, id, stop) is not { } webhook)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(webhook, out var problem))
        {
            return problem;
        }

        var secret = WebhookSecret.Make();
        webhook.PreviousSecret = webhook.Secret;
        webhook.PreviousSecretUntil = clock.GetUtcNow().UtcDateTime.AddHours(body.Value.KeepOldHours);
        webhook.Secret = box.Seal(caller.ClubId, id, secret);
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Of(webhook, new NewWebhookReply(secret, WebhookReply.From(webhook)));
    }

    private static async Task<Results<Page<DeliveryReply>, Problem>> Deliveries(
        Guid id, PageQuery page, AgeWatchContext db, CancellationToken stop) =>
        await db.Webhooks.AnyAsync(w => w.Id == id, stop)
            ? await page.ReadAsync(
                db.WebhookDeliveries.AsNoTracking().Where(d => d.WebhookId == id),
                Keyset.Down((WebhookDelivery d) => d.Id), d => DeliveryReply.From(d), stop)
            : Problems.NotFound();

    private static async Task<Results<Accepted<DeliveryReply>, Problem>> Redeliver(
        Guid id, Guid deliveryId, AgeWatchContext db, CancellationToken stop)
    {
        var delivery = await db.WebhookDeliveries.SingleOrDefaultAsync(
            d => d.WebhookId == id && d.Id == deliveryId, stop);
        if (delivery is null)
        {
            return Problems.NotFound();
        }

        if (await db.Webhooks.AnyAsync(w => w.Id == id && w.DisabledAt != null, stop))
        {
            return Problems.Conflict("The webhook is disabled; enable it first.");
        }

        if (delivery.State == SendState.Waiting)
        {
            return Problems.Conflict("The delivery is still on its way.");
        }

        delivery.State = SendState.Waiting;
        delivery.Attempts = 0;
        delivery.NextAttemptAt = null;
        await db.SaveChangesAsync(stop);
        return TypedResults.Accepted((string?)null, DeliveryReply.From(delivery));
    }

    private static Task<Webhook?> FindAsync(AgeWatchContext db, Guid id, CancellationToken stop) =>
        db.Webhooks.SingleOrDefaultAsync(w => w.Id == id, stop);

    private static Task<long> LatestAsync(AgeWatchContext db, CancellationToken stop) =>
        db.ClubCounters.Where(c => c.Name == ClubCounter.Events)
            .Select(c => c.Value)
            .SingleOrDefaultAsync(stop);

    private static void Disable(Webhook webhook, TimeProvider clock)
    {
        webhook.DisabledAt = clock.GetUtcNow().UtcDateTime;
        webhook.DisabledReason = "By an officer.";
    }

    private static async Task<Problem?> NoSuchVehicleAsync(
        WebhookRequest wanted, AgeWatchContext db, CancellationToken stop) =>
        wanted.VehicleId is { } vehicle
            && !await db.Vehicles.AnyAsync(v => v.Id == vehicle, stop)
            ? Problems.Invalid("#/vehicleId", "no-such-vehicle", "There is no such vehicle.")
            : null;

    private static Problem Refuse(string objection) =>
        Problems.Invalid("#/url", "url-refused", $"The address {objection}.");
}
