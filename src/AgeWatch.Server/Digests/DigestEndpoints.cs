using AgeWatch.Core.Due;
using AgeWatch.Server.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Digests;

/// <summary>What was written to whom, and what became of it.</summary>
internal static class DigestEndpoints
{
    public static void MapDigests(this IEndpointRouteBuilder v1)
    {
        var digests = v1.MapResource("/digests", "Digests", "What was written to whom, and what became of it.");
        digests.MapGet("", List).ForOfficers().Named("listDigests", "The digests, the latest first");
        digests.MapGet("/{id:guid}", Get).ForOfficers().Named("getDigest", "One digest with its lines");
        digests.MapGet("/{id:guid}/message", Message).ForOfficers().Named("getDigestMessage", "The very bytes that are sent")
            .WithMetadata(new Offers("message/rfc822"));
    }

    private static Task<Page<DigestReply>> List(
        Query<DigestFilter> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var filter = query.Value;
        var digests = db.Digests.AsNoTracking().Where(d => d.ClubId == caller.ClubId);
        digests = filter.MemberId is { } member ? digests.Where(d => d.MemberId == member) : digests;
        digests = filter.LocalDate is { } day ? digests.Where(d => d.LocalDate == day) : digests;
        digests = filter.State is { } state ? digests.Where(d => d.State == state) : digests;
        return page.ReadAsync(
            digests,
            Keyset.Down((Digest d) => d.LocalDate).ThenDown(d => d.Id),
            d => new DigestReply(
                d.Id, d.MemberId, d.Kind, d.LocalDate, d.Revision, d.Subject, d.Lines, d.HeldBack, d.State, d.Attempts, d.AcceptedAt, d.LastReply, d.CreatedAt),
            stop);
    }

    private static async Task<Results<Tagged<DigestWithLines>, Problem>> Get(Guid id, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        if (await db.Digests.AsNoTracking().SingleOrDefaultAsync(d => d.ClubId == caller.ClubId && d.Id == id, stop) is not { } d)
        {
            return Problems.NotFound();
        }

        var lines = await db.Notices.AsNoTracking().Where(n => n.ClubId == caller.ClubId && n.DigestId == id)
            .OrderByDescending(n => n.Shown).ThenBy(n => n.State).ThenBy(n => n.SubjectId)
            .Select(n => new DigestLineReply(n.SubjectId, n.State, n.Certainty, n.Times, n.Shown, n.Text)).ToListAsync(stop);
        return Reply.Of(d, new DigestWithLines(
            new(d.Id, d.MemberId, d.Kind, d.LocalDate, d.Revision, d.Subject, d.Lines, d.HeldBack, d.State, d.Attempts, d.AcceptedAt, d.LastReply, d.CreatedAt),
            lines));
    }

    private static async Task<Results<FileContentHttpResult, Problem>> Message(Guid id, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        await db.Digests.AsNoTracking().Where(d => d.ClubId == caller.ClubId && d.Id == id).Select(d => d.Message).SingleOrDefaultAsync(stop) is { } bytes
            ? TypedResults.File(bytes, "message/rfc822", $"{id:n}.eml")
            : Problems.NotFound();
}

internal sealed record DigestFilter(Guid? MemberId = null, DateOnly? LocalDate = null, SendState? State = null);

/// <param name="Lines">Lines shown.</param>
/// <param name="HeldBack">Lines left out to keep it short.</param>
/// <param name="LastReply">The mail server's own words at the last try.</param>
internal sealed record DigestReply(
    Guid Id, Guid MemberId, DigestKind Kind, DateOnly LocalDate, int Revision, string Subject, int Lines, int HeldBack, SendState State, int Attempts, DateTime? AcceptedAt, string? LastReply, DateTime CreatedAt);

internal sealed record DigestWithLines(DigestReply Digest, IReadOnlyList<DigestLineReply> Lines);

/// <param name="Times">How many digests in a row have told this person of this state.</param>
/// <param name="Shown">False: held back to keep the message short.</param>
internal sealed record DigestLineReply(Guid SubjectId, DueState State, Certainty Certainty, int Times, bool Shown, string Text);
