using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;
using Microsoft.Net.Http.Headers;

namespace AgeWatch.Server.Mail;

/// <summary>Takes in mail that came back after a mail server had taken it, from an officer or from a mail server's
/// pipe.</summary>
internal static class DeliveryReportEndpoints
{
    private const string MediaType = "message/rfc822";

    public static void MapDeliveryReports(this IEndpointRouteBuilder v1) =>
        v1.MapResource(
            "/delivery-reports", "Mail", "Whether mail goes out, and what the mail server says.").ForOfficers()
            .MapPost("", TakeAsync)
                .Named("takeDeliveryReport", "Hand in a delivery status notification about a digest that came back")
            .Accepts<string>(MediaType);

    private static async Task<Results<Ok<DeliveryReportReply>, Problem>> TakeAsync(
        HttpRequest request, AgeWatchContext db, TimeProvider clock, CancellationToken stop)
    {
        if (!MediaTypeHeaderValue.TryParse(request.ContentType, out var sent)
            || !sent.MediaType.Equals(MediaType, StringComparison.OrdinalIgnoreCase))
        {
            return Problems.UnsupportedMediaType(MediaType);
        }

        using MemoryStream bytes = new();
        await request.Body.CopyToAsync(bytes, stop);
        if (DeliveryReport.Read(bytes.GetBuffer()
            .AsMemory(0, (int)bytes.Length), stop) is not { Recipients.Count: > 0 } report)
        {
            return Problems.Invalid(
                "#", "not-a-report",
                "The message is no delivery status notification (RFC 3464): a multipart/report with a "
                    + "message/delivery-status part.");
        }

        if (report.MessageId is not { } messageId)
        {
            return Problems.Invalid(
                "#", "no-message-id",
                "The report returns neither the message nor its headers, so nothing tells which message it is about.");
        }

        if (await db.Digests.AsNoTracking()
            .SingleOrDefaultAsync(d => d.MessageId == messageId, stop) is not { } digest)
        {
            return Problems.NotFound(
                $"No digest of this club has the Message-ID <{ServerWords.Clean(messageId)}>. Nothing was changed.");
        }

        var about = report.Recipients.FirstOrDefault(recipient => recipient.Is(digest.Recipient));
        var outcome = about is null
            ? ReportOutcome.OtherRecipient
            : await JudgeAsync(db, digest, about, clock.GetUtcNow().UtcDateTime, stop);
        return TypedResults.Ok(new DeliveryReportReply(
            outcome, digest.Id, digest.MemberId, about?.Action, about?.Status, about?.Words));
    }

    private static async Task<ReportOutcome> JudgeAsync(
        AgeWatchContext db, Digest digest, ReportedRecipient about, DateTime now, CancellationToken stop)
    {
        await using var transaction = await db.Database.BeginTransactionAsync(stop);
        var outcome = about.Action switch
        {
            ReportedAction.Failed => await ReturnAsync(db, digest, about, now, stop),
            ReportedAction.Delayed =>
                await NoteAsync(db, digest, about, stop) ? ReportOutcome.Noted : ReportOutcome.AlreadyKnown,
            _ => ReportOutcome.NothingFailed,
        };
        await transaction.CommitAsync(stop);
        return outcome;
    }

    /// <summary>It comes to what the same refusal would have come to while the mail was handed over, and once only for
    /// each digest.</summary>
    private static async Task<ReportOutcome> ReturnAsync(
        AgeWatchContext db, Digest digest, ReportedRecipient about, DateTime now, CancellationToken stop)
    {
        var returned = await Living(db, digest).ExecuteUpdateAsync(
            set => set.SetProperty(d => d.State, SendState.Dead)
                .SetProperty(d => d.LastReply, about.Words)
                .SetProperty(d => d.NextAttemptAt, (DateTime?)null)
                .SetProperty(d => d.Version, d => d.Version + 1),
            stop);
        if (returned == 0)
        {
            return ReportOutcome.AlreadyKnown;
        }

        var isForGood = about.NamesNoMailbox || await DigestResults.WereRefusedAsync(db, digest, stop);
        return isForGood && await DigestResults.SuspendAsync(db, digest, about.Words, now, stop)
            ? ReportOutcome.Paused
            : ReportOutcome.Undelivered;
    }

    private static async Task<bool> NoteAsync(
        AgeWatchContext db, Digest digest, ReportedRecipient about, CancellationToken stop) =>
        await Living(db, digest).ExecuteUpdateAsync(
            set => set.SetProperty(d => d.LastReply, about.Words)
                .SetProperty(d => d.Version, d => d.Version + 1), stop) > 0;

    private static IQueryable<Digest> Living(AgeWatchContext db, Digest digest) =>
        db.Digests.Where(d => d.Id == digest.Id && d.State != SendState.Dead);
}

internal enum ReportOutcome
{
    /// <summary>No more mail goes to the address; the officer is told.</summary>
    Paused,

    /// <summary>A dead letter: what it told counts as untold. The address is tried again.</summary>
    Undelivered,

    /// <summary>Delayed: it may still arrive.</summary>
    Noted,

    /// <summary>The digest was a dead letter already.</summary>
    AlreadyKnown,

    /// <summary>It tells of another address than the digest went to.</summary>
    OtherRecipient,

    /// <summary>It tells of a success.</summary>
    NothingFailed,
}

/// <param name="Action">What the other server did; null: it tells nothing of the digest's recipient.</param>
/// <param name="Status">By RFC 3463, such as 5.1.1.</param>
/// <param name="Words">As kept with the digest.</param>
internal sealed record DeliveryReportReply(
    ReportOutcome Outcome, Guid DigestId, Guid MemberId, ReportedAction? Action, string? Status, string? Words);
