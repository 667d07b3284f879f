using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Members;

internal static class MemberEndpoints
{
    public static void MapMembers(this IEndpointRouteBuilder v1)
    {
        var members = v1.MapResource("/members", "Members", "People who own cars, and officers.");
        members.MapGet("", List).ForOfficers().Named("listMembers", "The members of the club");
        members.MapPost("", Create).ForOfficers().Named("createMember", "Add a member");
        members.MapGet("/{id:guid}", Get).ForOfficers().Named("getMember", "One member");
        members.MapPatch("/{id:guid}", Patch).ForOfficers().Named("changeMember", "Change a member");
        members.MapPost("/{id:guid}/revoke-links", RevokeLinks)
            .ForMembers()
            .Named("revokeLinks", "Close every link in the digests sent so far, to the member or by the member");
        members.MapDelete("/{id:guid}", Delete).ForOfficers().Named("removeMember", "Remove a member without vehicles");
    }

    private static Task<Page<MemberReply>> List(
        Query<MemberFilter> query, PageQuery page, AgeWatchContext db, CancellationToken stop)
    {
        var members = db.Members.AsNoTracking();
        members = query.Value.Reference is { } reference ? members.Where(m => m.Reference == reference) : members;
        return page.ReadAsync(members, Keyset.By((Member m) => m.Id), m => MemberReply.From(m), stop);
    }

    private static async Task<Results<TaggedCreated<MemberReply>, Problem>> Create(
        Body<MemberRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        var member = new Member
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            Name = body.Value.Name,
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        };
        if (await TwinAsync(body.Value, member, db, stop) is { } twin)
        {
            return twin;
        }

        body.Value.WriteTo(member, member.CreatedAt);
        db.Members.Add(member);
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Created($"/v1/members/{member.Id}", member, MemberReply.From(member));
    }

    private static async Task<Results<Tagged<MemberReply>, Problem>> Get(
        Guid id, AgeWatchContext db, CancellationToken stop) =>
        await db.Members.SingleOrDefaultAsync(m => m.Id == id, stop) is { } member
            ? Reply.Of(member, MemberReply.From(member))
            : Problems.NotFound();

    private static async Task<Results<Tagged<MemberReply>, Problem>> Patch(
        Guid id, Change<MemberRequest> change, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await db.Members.SingleOrDefaultAsync(m => m.Id == id, stop) is not { } member)
        {
            return Problems.NotFound();
        }

        var current = MemberRequest.From(member);
        if (!change.TryApply(member, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted != current)
        {
            if (await TwinAsync(wanted, member, db, stop) is { } twin)
            {
                return twin;
            }

            wanted.WriteTo(member, clock.GetUtcNow().UtcDateTime);
            await writer.SaveAsync(caller.ClubId, stop);
        }

        return Reply.Of(member, MemberReply.From(member));
    }

    /// <summary>Needs no If-Match: to close what may be in the wrong hands can undo nobody's work.</summary>
    private static async Task<Results<NoContent, Problem>> RevokeLinks(
        Guid id, Caller caller, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        var isOwn = caller.Role == KeyRole.Officer || caller.MemberId == id;
        return isOwn
            && await writer.ChangeAsync<Member>(
                caller.ClubId, id, member => member.LinksRevokedAt = clock.GetUtcNow().UtcDateTime, stop)
            ? TypedResults.NoContent()
            : Problems.NotFound();
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (await db.Members.SingleOrDefaultAsync(m => m.Id == id, stop) is not { } member)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(member, out var problem))
        {
            return problem;
        }

        if (await db.Vehicles.CountAsync(v => v.MemberId == id, stop) is > 0 and var owned)
        {
            return Problems.Conflict($"{owned} vehicle(s) belong to this member. Give them to another member or set "
                + $"their memberId to null first.");
        }

        db.Members.Remove(member);
        await writer.SaveAsync(caller.ClubId, stop);
        return TypedResults.NoContent();
    }

    private static async Task<Problem?> TwinAsync(
        MemberRequest wanted, Member member, AgeWatchContext db, CancellationToken stop) =>
        wanted.Reference is { } reference
        && await db.Members.AnyAsync(m =>
            m.Reference == reference && m.Id != member.Id, stop)
            ? Problems.Conflict($"Another member has the reference \"{reference}\".")
            : null;
}

internal sealed record MemberFilter(string? Reference = null);
