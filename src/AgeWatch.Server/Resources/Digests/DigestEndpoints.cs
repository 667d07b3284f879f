using System.Reflection;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Http.Metadata;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Digests;

/// <summary>What was sent to whom. A member's key sees that member's own, an officer's all.</summary>
internal static class DigestEndpoints
{
    public static void MapDigests(this IEndpointRouteBuilder v1)
    {
        var digests = v1.MapResource("/digests", "Digests", "What each person was sent, and what became of the mail.");
        digests.MapGet("", List).ForMembers().Named("listDigests", "List digests, the latest first");
        digests.MapGet("/{id:guid}", Get).ForMembers().Named("getDigest", "Read a digest with its lines");
        digests.MapGet("/{id:guid}/message", Message)
            .ForMembers()
            .Named("getDigestMessage", "Read a digest's mail, the very bytes that are sent")
            .WithMetadata(new Offers(MailMessage.MediaType));
    }

    private static Task<Page<DigestReply>> List(
        Query<DigestFilter> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var filter = query.Value;
        var digests = Seen(db, caller);
        digests = filter.MemberId is { } member ? digests.Where(d => d.MemberId == member) : digests;
        digests = filter.LocalDate is { } day ? digests.Where(d => d.LocalDate == day) : digests;
        digests = filter.State is { } state ? digests.Where(d => d.State == state) : digests;
        return page.ReadAsync(
            digests,
            Keyset.Down((Digest d) => d.LocalDate).ThenDown(d => d.Id),
            d => new DigestReply
            {
                Id = d.Id,
                MemberId = d.MemberId,
                Kind = d.Kind,
                LocalDate = d.LocalDate,
                Revision = d.Revision,
                Subject = d.Subject,
                RuleVersion = d.RuleVersion,
                Lines = d.Lines,
                HeldBack = d.HeldBack,
                State = d.State,
                Attempts = d.Attempts,
                CreatedAt = d.CreatedAt,
                AcceptedAt = d.AcceptedAt,
                LastReply = d.LastReply,
            },
            stop);
    }

    private static async Task<Results<Tagged<DigestWithLines>, Problem>> Get(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (await Seen(db, caller).SingleOrDefaultAsync(d => d.Id == id, stop) is not { } digest)
        {
            return Problems.NotFound();
        }

        var lines = await db.Notices.AsNoTracking().Where(n => n.DigestId == id)
            .OrderBy(n => n.Place).ThenBy(n => n.State).ThenBy(n => n.SubjectId)
            .Select(n => new NoticeReply(
                n.SubjectId, n.State, n.Certainty, n.Force, n.Times, n.Text)).ToListAsync(stop);
        return Reply.Of(digest, new DigestWithLines(DigestReply.From(digest), lines));
    }

    private static async Task<Results<MailMessage, Problem>> Message(
        Guid id, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await Seen(db, caller).Where(d => d.Id == id).Select(d => d.Message).SingleOrDefaultAsync(stop) is { } bytes
            ? new MailMessage(bytes)
            : Problems.NotFound();

    private static IQueryable<Digest> Seen(AgeWatchContext db, Caller caller)
    {
        var digests = db.Digests.AsNoTracking();

        // An officer's digest speaks of other people's cars: it is not for the key of a member, be it the same person.
        return caller.Role == KeyRole.Officer
            ? digests
            : digests.Where(d => d.MemberId == caller.MemberId && d.Kind == DigestKind.Member);
    }
}

internal sealed record DigestFilter(Guid? MemberId = null, DateOnly? LocalDate = null, SendState? State = null);

/// <summary>The stored bytes; they never change, and only the recipient and the officers may have them.</summary>
internal sealed class MailMessage(byte[] bytes) : IResult, IEndpointMetadataProvider
{
    public const string MediaType = "message/rfc822";

    public Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        Reply.SetPrivate(response);
        response.ContentType = MediaType;
        response.ContentLength = bytes.Length;
        return response.Body.WriteAsync(bytes, httpContext.RequestAborted).AsTask();
    }

    public static void PopulateMetadata(MethodInfo method, EndpointBuilder builder) =>
        builder.Metadata.Add(new ProducesResponseTypeMetadata(StatusCodes.Status200OK, typeof(byte[]), [MediaType]));
}
