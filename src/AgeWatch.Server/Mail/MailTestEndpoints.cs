using System.Globalization;
using System.Security.Cryptography;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;
using MimeKit;

namespace AgeWatch.Server.Mail;

/// <summary>Sends one mail with the very settings and code that digests use, and tells what the server said.</summary>
internal static class MailTestEndpoints
{
    public static void MapMailTests(this IEndpointRouteBuilder v1) =>
        v1.MapResource("/mail-tests", "Mail", "Whether mail goes out, and what the mail server says.").ForOfficers()
            .MapPost("", SendAsync)
                .Named("sendMailTest", "Send a test mail to a member and show the mail server's answer");

    private static async Task<Results<Ok<MailTestReply>, Problem>> SendAsync(
        Body<MailTestRequest> body, Caller caller, AgeWatchContext db, MailOptions mail, MailChannels channels,
        MailSigner signer, MailTestLimit limit,
        TimeProvider clock, HttpResponse response, CancellationToken stop)
    {
        // Only to people of the club, so that nobody can use the server to write to strangers.
        var member = await db.Members.AsNoTracking()
            .SingleOrDefaultAsync(m => m.Id == body.Value.MemberId, stop);
        if (member?.Email is not { } address)
        {
            return Problems.Invalid(
                "#/memberId", "no-such-member",
                "There is no such member in the club, or the member has no mail address.");
        }

        if (limit.WaitOf(caller.ClubId) is { } wait)
        {
            response.Headers.RetryAfter = Math.Ceiling(wait.TotalSeconds).ToString(CultureInfo.InvariantCulture);
            return Problems.OfStatus(StatusCodes.Status429TooManyRequests);
        }

        var club = await db.Clubs.AsNoTracking().SingleAsync(stop);
        var messageId = $"t1.{Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16))}@{mail.From.Domain}";
        var message = DigestMail.Write(
            new(
                mail.From, new MailboxAddress(member.Name, address), "AgeWatch: test mail", messageId,
                clock.GetUtcNow(), club.Name,
                $"digest.{club.ClubId:n}.{mail.From.Domain}"),
            Text,
            $"<!DOCTYPE html>\n<html lang=\"en\"><head><title>AgeWatch: test "
                + $"mail</title></head><body><p>{Text}</p></body></html>\n",
            signer.Signer);

        using var transcript = new MailTranscript();
        await using var channel = channels.Open(transcript);
        var outcome = await channel.SendAsync(new(address, messageId, message), stop);
        return TypedResults.Ok(new MailTestReply(
            outcome switch
            {
                MailOutcome.Accepted => MailTestOutcome.Accepted,
                MailOutcome.Refused => MailTestOutcome.Refused,
                MailOutcome.NoServer => MailTestOutcome.NoServer,
                _ => MailTestOutcome.TryLater,
            },
            outcome.Words,
            mail.Target is null ? "files" : "smtp",
            messageId,
            transcript.Lines));
    }

    private const string Text = "This mail was asked for with POST /v1/mail-tests. Digests go out the same way.\n";
}

internal sealed record MailTestRequest(Guid MemberId);

internal enum MailTestOutcome
{
    Accepted,
    Refused,
    TryLater,
    NoServer,
}

/// <param name="Words">The mail server's own.</param>
/// <param name="Way">smtp, or files when no mail server is set.</param>
/// <param name="Transcript">What was said, without secrets and without the message.</param>
internal sealed record MailTestReply(
    MailTestOutcome Outcome, string Words, string Way, string MessageId, IReadOnlyList<string> Transcript);

/// <summary>A few test mails an hour for each club.</summary>
internal sealed class MailTestLimit(TimeProvider clock)
{
    private const int MostAnHour = 10;

    private readonly Dictionary<Guid, Queue<DateTimeOffset>> _sent = [];

    /// <summary>How long to wait; null: go ahead, and it counts.</summary>
    public TimeSpan? WaitOf(Guid clubId)
    {
        var now = clock.GetUtcNow();
        lock (_sent)
        {
            if (!_sent.TryGetValue(clubId, out var sent))
            {
                _sent[clubId] = sent = new();
            }

            while (sent.TryPeek(out var oldest) && oldest <= now.AddHours(-1))
            {
                sent.Dequeue();
            }

            if (sent.Count >= MostAnHour)
            {
                return sent.Peek().AddHours(1) - now;
            }

            sent.Enqueue(now);
            return null;
        }
    }
}
