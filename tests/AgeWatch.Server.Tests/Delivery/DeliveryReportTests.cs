using System.Net.Http.Headers;
using System.Text;
using AgeWatch.Server.Mail;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Delivery;

/// <summary>Mail that comes back: the examples of RFC 3464, appendix E, and what a report may do to a club.</summary>
public sealed class DeliveryReportTests
{
    // The delivery-status parts of RFC 3464 E.1 to E.4, field by field; the rest of each message is short here.
    private const string Simple = """
        Reporting-MTA: dns; cs.utk.edu

        Original-Recipient: rfc822;louisl@larry.slip.umd.edu
        Final-Recipient: rfc822;louisl@larry.slip.umd.edu
        Action: failed
        Status: 4.0.0
        Diagnostic-Code: smtp; 426 connection timed out
        Last-Attempt-Date: Thu, 7 Jul 1994 17:15:49 -0400
        """;

    private const string ManyRecipients = """
        Reporting-MTA: dns; cs.utk.edu

        Original-Recipient: rfc822;arathib@vnet.ibm.com
        Final-Recipient: rfc822;arathib@vnet.ibm.com
        Action: failed
        Status: 5.0.0 (permanent failure)
        Diagnostic-Code: smtp;
         550 'arathib@vnet.IBM.COM' is not a registered gateway user
        Remote-MTA: dns; vnet.ibm.com

        Original-Recipient: rfc822;johnh@hpnjld.njd.hp.com
        Final-Recipient: rfc822;johnh@hpnjld.njd.hp.com
        Action: delayed
        Status: 4.0.0 (hpnjld.njd.jp.com: host name lookup failure)

        Original-Recipient: rfc822;wsnell@sdcc13.ucsd.edu
        Final-Recipient: rfc822;wsnell@sdcc13.ucsd.edu
        Action: failed
        Status: 5.0.0
        Diagnostic-Code: smtp; 550 user unknown
        Remote-MTA: dns; sdcc13.ucsd.edu
        """;

    private const string FromGateway = """
        Reporting-MTA: mailbus; SYS30

        Final-Recipient: unknown; nair_s
        Status: 5.0.0 (unknown permanent failure)
        Action: failed
        """;

    private const string Delayed = """
        Reporting-MTA: dns; sun2.nsfnet-relay.ac.uk

        Final-Recipient: rfc822;thomas@de-montfort.ac.uk
        Status: 4.0.0 (unknown temporary failure)
        Action: delayed
        """;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public void The_examples_of_the_standard_are_read()
    {
        Assert.Equal(
            [new(
                "louisl@larry.slip.umd.edu", "louisl@larry.slip.umd.edu", ReportedAction.Failed, "4.0.0",
                "smtp; 426 connection timed out")],
            Recipients(Simple));
        Assert.Equal([new(null, null, ReportedAction.Failed, "5.0.0", null)], Recipients(FromGateway));
        Assert.Equal(
            [new("thomas@de-montfort.ac.uk", null, ReportedAction.Delayed, "4.0.0", null)], Recipients(Delayed));
        var many = Recipients(ManyRecipients);
        Assert.Equal(
            [ReportedAction.Failed, ReportedAction.Delayed, ReportedAction.Failed], many.Select(r => r.Action));
        Assert.Equal(["5.0.0", "4.0.0", "5.0.0"], many.Select(r => r.Status));
        Assert.Equal("Returned: 5.0.0 smtp; 550 user unknown", many[2].Words);
        Assert.Matches(
            "^Returned: 5\\.0\\.0 smtp; +550 'arathib@vnet\\.IBM\\.COM' is not a registered gateway user$",
            many[0].Words);

        static IReadOnlyList<ReportedRecipient> Recipients(string status) =>
            DeliveryReport.Read(Report(status, "<a@b.example>"), Stop)!.Recipients;
    }

    /// <summary>As E.2 has it for its last recipient, 550 user unknown, but with the code that RFC 3463 3.2 has for it,
    /// from memory: 5.1.1.</summary>
    [Theory, OnBothDatabases]
    public async Task A_failure_for_good_stops_mail_to_the_address_and_the_officer_is_told(DatabaseKind kind)
    {
        await using var app = await StartAsync(kind);
        var digest = await GivenSentAsync(app, "bob@example.org");
        var next = await DigestOutboxTests.GivenDigestAsync(app, "bob@example.org", digest.MemberId, day: 26);
        var report = Report(Last(ManyRecipients, "bob@example.org")
            .Replace("5.0.0", "5.1.1", StringComparison.Ordinal), $"<{digest.MessageId}>");

        var first = await PostAsync(app.Officer, report);
        Assert.Equal("paused", first.Text("outcome"));
        Assert.Equal(
            (digest.Id.ToString(), "failed", "5.1.1", "Returned: 5.1.1 smtp; 550 user unknown"),
            (first.Text("digestId")!, first.Text("action")!, first.Text("status")!, first.Text("words")!));
        Assert.Equal("already-known", (await PostAsync(app.Officer, report)).Text("outcome"));

        await app.Services.GetRequiredService<DigestOutbox>().SendDueAsync(Stop);
        await using var db = app.Database.Open();
        var member = await db.Members.SingleAsync(m => m.Id == digest.MemberId, Stop);
        Assert.Equal(
            (app.Clock.GetUtcNow().UtcDateTime, "Returned: 5.1.1 smtp; 550 user unknown"),
            (member.MailSuspendedAt!.Value, member.MailSuspendedReason));
        Assert.Equal((SendState.Dead, "Returned: 5.1.1 smtp; 550 user unknown"), await StateAsync(app, digest.Id));
        Assert.Equal(SendState.Dead, (await StateAsync(app, next.Id)).State);
        Assert.Equal(
            digest.MemberId, (await db.Events.SingleAsync(e => e.Type == "member.mail_suspended", Stop)).SubjectId);
    }

    [Theory, OnBothDatabases]
    public async Task A_delay_is_noted_and_what_may_pass_stops_the_address_at_the_third(DatabaseKind kind)
    {
        await using var app = await StartAsync(kind);
        var digest = await GivenSentAsync(app, "bob@example.org");

        Assert.Equal(
            "noted",
            (await PostAsync(
                app.Officer, Report(Last(Delayed, "bob@example.org"), $"<{digest.MessageId}>"))).Text("outcome"));
        Assert.Equal((SendState.Accepted, "Delayed: 4.0.0"), await StateAsync(app, digest.Id));

        // E.1: given up after five days, with a code that is not for good; a full mailbox (RFC 3463 X.2.2, from
        // memory), which may have room tomorrow; and one that does not say what was wrong.
        Assert.Equal(
            "undelivered",
            (await PostAsync(
                app.Officer, Report(Last(Simple, "bob@example.org"), $"<{digest.MessageId}>"))).Text("outcome"));
        Assert.Equal(
            "already-known",
            (await PostAsync(
                app.Officer, Report(Last(Delayed, "bob@example.org"), $"<{digest.MessageId}>"))).Text("outcome"));
        Assert.Equal(
            (SendState.Dead, "Returned: 4.0.0 smtp; 426 connection timed out"), await StateAsync(app, digest.Id));
        List<string?> outcomes = [];
        for (var day = 26; day <= 27; day++)
        {
            app.Clock.Advance(TimeSpan.FromDays(1));
            var later = await GivenSentAsync(app, "bob@example.org", digest.MemberId, day);
            var report = Report(
                Last(ManyRecipients, "bob@example.org")
                    .Replace("5.0.0", day == 26 ? "5.2.2" : "5.0.0", StringComparison.Ordinal), $"<{later.MessageId}>");
            outcomes.Add((await PostAsync(app.Officer, report)).Text("outcome"));
        }

        Assert.Equal(["undelivered", "paused"], outcomes);
    }

    /// <summary>Whoever can get a report to the pipe must know a Message-ID that only its recipient has seen; and then
    /// it speaks of that recipient alone.</summary>
    [Theory, OnBothDatabases]
    public async Task A_report_of_anything_else_changes_nothing(DatabaseKind kind)
    {
        await using var app = await StartAsync(kind);
        var digest = await GivenSentAsync(app, "bob@example.org");
        var returned = $"<{digest.MessageId}>";
        var failed = Last(ManyRecipients, "bob@example.org");
        var othersId = Guid.CreateVersion7();
        await using (var db = app.Database.Open(othersId))
        {
            Club other = new()
            {
                ClubId = othersId,
                Name = "Other",
                TimeZone = "UTC",
                CreatedAt = DateTime.UnixEpoch
            };
            Member stranger = new()
            {
                ClubId = other.ClubId,
                Id = Guid.CreateVersion7(),
                Name = "Eve",
                Email = "eve@example.org",
                CreatedAt = DateTime.UnixEpoch
            };
            db.AddRange(other, stranger, new Digest
            {
                ClubId = other.ClubId,
                Id = Guid.CreateVersion7(),
                MemberId = stranger.Id,
                Kind = DigestKind.Member,
                LocalDate = digest.LocalDate,
                Revision = 1,
                Recipient = "eve@example.org",
                Subject = "s",
                MessageId = "d1.other@club.example",
                Message = [],
                Lines = 1,
                RuleVersion = "test",
                HeldBack = 0,
                State = SendState.Accepted,
                CreatedAt = digest.CreatedAt,
            });
            await db.SaveChangesAsync(Stop);
        }

        var unknown = await (await SendAsync(app.Officer, Report(failed, "<d1.nobody@club.example>")))
            .Problem(404, "not-found");
        Assert.Contains("<d1.nobody@club.example>", unknown.Text("detail"), StringComparison.Ordinal);
        await (await SendAsync(app.Officer, Report(Last(ManyRecipients, "eve@example.org"), "<d1.other@club.example>")))
            .Problem(404, "not-found");
        Assert.Equal(
            "other-recipient", (await PostAsync(app.Officer, Report(ManyRecipients, returned))).Text("outcome"));
        Assert.Equal("other-recipient", (await PostAsync(app.Officer, Report(FromGateway, returned))).Text("outcome"));
        Assert.Equal(
            "nothing-failed",
            (await PostAsync(
                app.Officer,
                Report(failed.Replace("failed", "delivered", StringComparison.Ordinal), returned))).Text("outcome"));
        using var member = await app.GivenKeyAsync("member", digest.MemberId);
        Assert.Equal(403, (int)(await SendAsync(member, Report(failed, returned))).StatusCode);
        Assert.Equal(401, (int)(await SendAsync(app.Anonymous, Report(failed, returned))).StatusCode);
        foreach (var (mail, code) in new[]
        {
            ("Subject: Out of office\n\nBack on Monday.\n", "not-a-report"), ("", "not-a-report"),
            (new string('\0', 2000), "not-a-report"),
            (
                "Content-Type: multipart/report; boundary=x\n\n--x\nContent-Type: text/plain\n\nno\n--x--\n",
                "not-a-report"),
            (Encoding.ASCII.GetString(Report("Reporting-MTA: dns; x.example\n", returned)), "not-a-report"),
            (Encoding.ASCII.GetString(Report(failed, null)), "no-message-id"),
        })
        {
            Assert.Equal(
                ("#", code),
                (await (await SendAsync(app.Officer, Encoding.ASCII.GetBytes(mail))).Problem(422, "validation"))
                .Errors()
                .Single());
        }

        using var json = new StringContent("{}", Encoding.UTF8, "application/json");
        await (await app.Officer.PostAsync("/v1/delivery-reports", json, Stop)).Problem(415, "unsupported-media-type");
        await using var after = app.Database.Open();
        Assert.False(await after.Members.AcrossClubs().AnyAsync(m => m.MailSuspendedAt != null, Stop));
        Assert.False(await after.Digests.AcrossClubs().AnyAsync(d => d.State != SendState.Accepted, Stop));

        // The address has changed since: the old one's failure is no reason to stop the new one. A pipe's own first
        // line is no hindrance.
        await after.Members.Where(m => m.Id == digest.MemberId)
            .ExecuteUpdateAsync(set => set.SetProperty(m => m.Email, "new@example.org"), Stop);
        byte[] piped = [
            .. "From MAILER-DAEMON Thu Jan  1 00:00:00 1970\n"u8,
            .. Report(failed.Replace("5.0.0", "5.1.1", StringComparison.Ordinal), returned, headersAlone: true)];
        Assert.Equal("undelivered", (await PostAsync(app.Officer, piped)).Text("outcome"));
        Assert.False(await after.Members.AcrossClubs().AnyAsync(m => m.MailSuspendedAt != null, Stop));
    }

    // Without the worker of its own, so that what waits does so until the test sends it. It is a file then, which is
    // accepted at once.
    private static Task<TestApp> StartAsync(DatabaseKind kind) =>
        TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));

    private static async Task<Digest> GivenSentAsync(TestApp app, string address, Guid? memberId = null, int day = 25)
    {
        var digest = await DigestOutboxTests.GivenDigestAsync(app, address, memberId, day);
        Assert.Equal(1, await app.Services.GetRequiredService<DigestOutbox>().SendDueAsync(Stop));
        return digest;
    }

    private static async Task<(SendState State, string? Reply)> StateAsync(TestApp app, Guid digestId)
    {
        await using var db = app.Database.Open();
        var digest = await db.Digests.AsNoTracking().SingleAsync(d => d.Id == digestId, Stop);
        return (digest.State, digest.LastReply);
    }

    /// <summary>The example's last group of a recipient, with the addresses of a recipient of ours.</summary>
    private static string Last(string status, string address)
    {
        var groups = status.ReplaceLineEndings("\n").Split("\n\n");
        var group = groups[^1]
            .Split('\n')
            .Select(field =>
                field.Contains("-Recipient:", StringComparison.Ordinal) ? $"{field.Split(';')[0]};{address}" : field);
        return $"{groups[0]}\n\n{string.Join('\n', group)}";
    }

    /// <summary>RFC 3464 section 2 and RFC 6522: for people, for programs, and the message or its headers.</summary>
    private static byte[] Report(string status, string? messageId, bool headersAlone = false)
    {
        var returned =
            $"From: agewatch@club.example\n{(messageId is null ? "" : $"Message-ID: {messageId}\n")}Subject: 1 to "
                + $"act on\n";
        return Encoding.ASCII.GetBytes($"""
            From: Mail Delivery Subsystem <MAILER-DAEMON@relay.example>
            To: <agewatch@club.example>
            Subject: Returned mail
            Message-ID: <report@relay.example>
            MIME-Version: 1.0
            Content-Type: multipart/report; report-type=delivery-status; boundary="RAA14128.773615765/CS.UTK.EDU"

            --RAA14128.773615765/CS.UTK.EDU
            Content-Type: text/plain

            The message could not be delivered.

            --RAA14128.773615765/CS.UTK.EDU
            content-type: message/delivery-status

            {status}

            --RAA14128.773615765/CS.UTK.EDU
            Content-Type: {(headersAlone ? "text/rfc822-headers" : "message/rfc822")}

            {returned}{(headersAlone ? "" : "\ntext\n")}
            --RAA14128.773615765/CS.UTK.EDU--

            """);
    }

    private static async Task<System.Text.Json.JsonElement> PostAsync(HttpClient client, byte[] mail)
    {
        var reply = await SendAsync(client, mail);
        Assert.Equal(200, (int)reply.StatusCode);
        return await reply.Json();
    }

    private static Task<HttpResponseMessage> SendAsync(HttpClient client, byte[] mail)
    {
        ByteArrayContent content = new(mail);
        content.Headers.ContentType = new MediaTypeHeaderValue("message/rfc822");
        return client.PostAsync("/v1/delivery-reports", content, Stop);
    }
}
