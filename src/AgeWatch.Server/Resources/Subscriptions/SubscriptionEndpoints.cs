using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Mail;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Subscriptions;

/// <summary>Which vehicles a member's digest speaks of beyond their own, and on which days. Members see and change
/// their own.</summary>
internal static class SubscriptionEndpoints
{
    private const int MostPerMember = 50;

    public static void MapSubscriptions(this IEndpointRouteBuilder v1)
    {
        var subscriptions = v1.MapResource(
            "/subscriptions", "Subscriptions",
            "What a member is told of beyond their own vehicles, from which hazard on and in which rhythm. It comes "
                + "in the one digest of the day.").ForMembers();
        subscriptions.MapGet("", List).Named("listSubscriptions", "List the subscriptions");
        subscriptions.MapPost("", Create)
            .Named("createSubscription", "Add a vehicle or the whole club to a member's digests");
        subscriptions.MapGet("/{id:guid}", Get).Named("getSubscription", "Read one subscription");
        subscriptions.MapPatch("/{id:guid}", Patch).Named("changeSubscription", "Change a subscription");
        subscriptions.MapDelete("/{id:guid}", Delete).Named("removeSubscription", "Remove a subscription");
    }

    private static Task<Page<SubscriptionReply>> List(
        Query<SubscriptionFilter> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var rows = Visible(db, caller).AsNoTracking();
        rows = query.Value.MemberId is { } member ? rows.Where(s => s.MemberId == member) : rows;
        return page.ReadAsync(rows, Keyset.By((Subscription s) => s.Id), s => SubscriptionReply.From(s), stop);
    }

    private static async Task<Results<TaggedCreated<SubscriptionReply>, Problem>> Create(
        Body<SubscriptionRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await WhyNotAsync(body.Value, caller, db, stop) is { } problem)
        {
            return problem;
        }

        if (await db.Subscriptions.CountAsync(s =>
            s.MemberId == body.Value.MemberId, stop) >= MostPerMember)
        {
            return Problems.Conflict($"A member may have {MostPerMember} subscriptions.");
        }

        var subscription = new Subscription
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            MemberId = body.Value.MemberId,
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        };
        body.Value.WriteTo(subscription);
        db.Subscriptions.Add(subscription);
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Created(
            $"/v1/subscriptions/{subscription.Id}", subscription, SubscriptionReply.From(subscription));
    }

    private static async Task<Results<Tagged<SubscriptionReply>, Problem>> Get(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await Visible(db, caller).SingleOrDefaultAsync(s => s.Id == id, stop) is { } subscription
            ? Reply.Of(subscription, SubscriptionReply.From(subscription))
            : Problems.NotFound();

    private static async Task<Results<Tagged<SubscriptionReply>, Problem>> Patch(
        Guid id, Change<SubscriptionRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await Visible(db, caller).SingleOrDefaultAsync(s => s.Id == id, stop) is not { } subscription)
        {
            return Problems.NotFound();
        }

        if (!change.TryApply(subscription, SubscriptionRequest.From(subscription), out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted.MemberId != subscription.MemberId)
        {
            return Problems.Invalid(
                "#/memberId", "fixed", "A subscription stays with its member; make another for someone else.");
        }

        if (await WhyNotAsync(wanted, caller, db, stop) is { } refused)
        {
            return refused;
        }

        wanted.WriteTo(subscription);
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Of(subscription, SubscriptionReply.From(subscription));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (await Visible(db, caller).SingleOrDefaultAsync(s => s.Id == id, stop) is not { } subscription)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(subscription, out var problem))
        {
            return problem;
        }

        db.Subscriptions.Remove(subscription);
        await writer.SaveAsync(caller.ClubId, stop);
        return TypedResults.NoContent();
    }

    private static async Task<Problem?> WhyNotAsync(
        SubscriptionRequest wanted, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var isOfficer = caller.Role == KeyRole.Officer;
        if ((!isOfficer && wanted.MemberId != caller.MemberId)
            || !await db.Members.AnyAsync(m => m.Id == wanted.MemberId, stop))
        {
            return Problems.Invalid("#/memberId", "no-such-member", "There is no such member for this key.");
        }

        // The whole club's dangers, and other people's vehicles, are the officer's to hand out.
        if (wanted.WholeClub && !isOfficer)
        {
            return Problems.Invalid(
                "#/wholeClub", "officers-only", "Only an officer can subscribe somebody to the whole club.");
        }

        return wanted.VehicleId is { } vehicle
            && !await db.Vehicles.AnyAsync(v =>
                v.Id == vehicle && (isOfficer || v.MemberId == caller.MemberId), stop)
            ? Problems.Invalid("#/vehicleId", "no-such-vehicle", "There is no such vehicle for this key.")
            : null;
    }

    private static IQueryable<Subscription> Visible(AgeWatchContext db, Caller caller) =>
        db.Subscriptions.Where(s =>
            caller.Role == KeyRole.Officer || s.MemberId == caller.MemberId);
}

internal sealed record SubscriptionFilter(Guid? MemberId = null);
