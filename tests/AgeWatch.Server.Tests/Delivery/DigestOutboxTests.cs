using AgeWatch.Server.Mail;
using AgeWatch.Server.Outbox;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;

namespace AgeWatch.Server.Tests.Delivery;

/// <summary>The outbox on a real database, talking to a real socket.</summary>
public sealed class DigestOutboxTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task A_waiting_digest_is_sent_once_and_marked(DatabaseKind kind)
    {
        await using var sink = new SmtpSink();
        await using var app = await StartAsync(kind, sink);
        var digest = await GivenDigestAsync(app, "bob@example.org");

        Assert.Equal(1, await SendAsync(app));
        Assert.Equal(0, await SendAsync(app));

        var mail = Assert.Single(sink.Received);
        Assert.Equal(["bob@example.org"], mail.Recipients);
        Assert.Equal(digest.Message, mail.Data);
        var row = await ReadAsync(app, digest.Id);
        Assert.Equal(
            (SendState.Accepted, 1, "2.0.0 taken", null), (row.State, row.Attempts, row.LastReply, row.LeaseOwner));
        Assert.Equal(app.Clock.GetUtcNow().UtcDateTime, row.AcceptedAt);
    }

    [Theory, OnBothDatabases]
    public async Task Two_servers_share_the_work_and_send_nothing_twice(DatabaseKind kind)
    {
        await using var sink = new SmtpSink();
        await using var database = await TestDatabase.CreateAsync(kind);
        var clock = new FakeTimeProvider(new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));
        await using var first = await TestApp.StartAsync(database, clock, null, Settings(sink));
        await using var second = await TestApp.StartAsync(database, clock, first.Key, Settings(sink));
        for (var i = 0; i < 60; i++)
        {
            await GivenDigestAsync(first, $"member{i}@example.org");
        }

        var sent = await Task.WhenAll(SendAsync(first), SendAsync(second));

        Assert.Equal(60, sent.Sum());
        Assert.Equal(60, sink.Received.Count);
        Assert.Equal(60, sink.Received.Select(mail => mail.Recipients.Single()).Distinct().Count());
    }

    [Theory, OnBothDatabases]
    public async Task A_refusal_for_now_means_the_same_bytes_later(DatabaseKind kind)
    {
        await using var sink = new SmtpSink { AnswerToData = _ => "451 4.3.0 later" };
        await using var app = await StartAsync(kind, sink);
        var digest = await GivenDigestAsync(app, "bob@example.org");

        await SendAsync(app);

        var row = await ReadAsync(app, digest.Id);
        Assert.Equal((SendState.Waiting, 1, "451 4.3.0 later"), (row.State, row.Attempts, row.LastReply));
        Assert.InRange(row.NextAttemptAt!.Value - app.Clock.GetUtcNow()
            .UtcDateTime, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(30));
        Assert.Equal(0, await SendAsync(app));

        sink.AnswerToData = _ => "250 2.0.0 taken";
        app.Clock.Advance(TimeSpan.FromMinutes(1));
        await SendAsync(app);

        Assert.Equal(SendState.Accepted, (await ReadAsync(app, digest.Id)).State);
        Assert.Equal(2, sink.Received.Count);
        Assert.Equal(sink.Received[0].Data, sink.Received[1].Data);
    }

    /// <summary>RFC 1047: only the sender that never saw the reply sends again.</summary>
    [Theory, OnBothDatabases]
    public async Task A_lost_reply_makes_a_copy_that_is_the_same_to_the_byte(DatabaseKind kind)
    {
        var first = true;
        await using var sink = new SmtpSink();
        sink.AnswerToData = _ => Interlocked.Exchange(ref first, false) ? "" : "250 2.0.0 taken";
        await using var app = await StartAsync(kind, sink);
        var digest = await GivenDigestAsync(app, "bob@example.org");

        await SendAsync(app);
        app.Clock.Advance(TimeSpan.FromMinutes(1));
        await SendAsync(app);

        Assert.Equal(SendState.Accepted, (await ReadAsync(app, digest.Id)).State);
        Assert.Equal([digest.Message, digest.Message], sink.Received.Select(mail => mail.Data));
    }

    [Theory, OnBothDatabases]
    public async Task A_mailbox_that_does_not_exist_is_not_written_to_again_and_the_club_is_told(DatabaseKind kind)
    {
        await using var sink = new SmtpSink
        {
            Answer = line =>
            line.Contains("gone@", StringComparison.Ordinal) ? "550 5.1.1 no such user here" : null
        };
        await using var app = await StartAsync(kind, sink);
        var digest = await GivenDigestAsync(app, "gone@example.org");
        var next = await GivenDigestAsync(app, "gone@example.org", digest.MemberId, day: 26);

        await SendAsync(app);
        await SendAsync(app);

        await using var db = app.Database.Open();
        var member = await db.Members.SingleAsync(m => m.Id == digest.MemberId, Stop);
        Assert.NotNull(member.MailSuspendedAt);
        Assert.Equal("550 5.1.1 no such user here", member.MailSuspendedReason);
        Assert.Equal(SendState.Dead, (await ReadAsync(app, digest.Id)).State);
        Assert.Equal(SendState.Dead, (await ReadAsync(app, next.Id)).State);
        var told = await db.Events.SingleAsync(e => e.Type == "member.mail_suspended", Stop);
        Assert.Equal(digest.MemberId, told.SubjectId);
        Assert.DoesNotContain("gone@", told.Content, StringComparison.Ordinal);
    }

    [Theory, OnBothDatabases]
    public async Task Other_refusals_suspend_an_address_at_the_third(DatabaseKind kind)
    {
        await using var sink = new SmtpSink
        {
            Answer = line =>
            line.StartsWith("RCPT", StringComparison.Ordinal) ? "550 5.7.1 not today" : null
        };
        await using var app = await StartAsync(kind, sink);
        var digest = await GivenDigestAsync(app, "bob@example.org");
        List<bool> suspended = [];
        for (var day = 26; day <= 28; day++)
        {
            await SendAsync(app);
            await using var db = app.Database.Open();
            suspended.Add(await db.Members.AnyAsync(m => m.Id == digest.MemberId && m.MailSuspendedAt != null, Stop));
            app.Clock.Advance(TimeSpan.FromDays(1));
            await GivenDigestAsync(app, "bob@example.org", digest.MemberId, day);
        }

        Assert.Equal([false, false, true], suspended);
    }

    [Theory, OnBothDatabases]
    public async Task A_day_without_a_mail_server_ends_in_a_dead_letter_with_the_reason(DatabaseKind kind)
    {
        int port;
        await using (var gone = new SmtpSink())
        {
            port = gone.Port;
        }

        await using var app = await TestApp.StartAsync(
            kind, null, ("AGEWATCH_ROLE", "api"), ("AGEWATCH_SMTP", $"smtp://127.0.0.1:{port}"));
        var digest = await GivenDigestAsync(app, "bob@example.org");

        await SendAsync(app);
        Assert.Equal((SendState.Waiting, 1), (await ReadAsync(app, digest.Id)) is var row
            ? (row.State, row.Attempts)
            : default);
        app.Clock.Advance(TimeSpan.FromHours(25));
        await SendAsync(app);

        row = await ReadAsync(app, digest.Id);
        Assert.Equal(SendState.Dead, row.State);
        Assert.NotEmpty(row.LastReply!);
    }

    [Theory, OnBothDatabases]
    public async Task What_a_killed_worker_held_is_sent_when_its_lease_is_over(DatabaseKind kind)
    {
        await using var sink = new SmtpSink();
        await using var app = await StartAsync(kind, sink);
        var digest = await GivenDigestAsync(app, "bob@example.org");
        var now = app.Clock.GetUtcNow().UtcDateTime;
        await using (var db = app.Database.Open())
        {
            Assert.NotNull(await Claim.TakeAsync(db, Claim.Digests, now, TimeSpan.FromMinutes(2), 10, Stop));
        }

        Assert.Equal(0, await SendAsync(app));
        app.Clock.Advance(TimeSpan.FromMinutes(2));
        Assert.Equal(1, await SendAsync(app));
        Assert.Equal(SendState.Accepted, (await ReadAsync(app, digest.Id)).State);
    }

    [Theory, OnBothDatabases]
    public async Task A_worker_thought_lost_cannot_undo_what_was_done_since(DatabaseKind kind)
    {
        await using var sink = new SmtpSink();
        await using var app = await StartAsync(kind, sink);
        var digest = await GivenDigestAsync(app, "bob@example.org");
        Claim? old;
        await using (var db = app.Database.Open())
        {
            old = await Claim.TakeAsync(db, Claim.Digests, app.Clock.GetUtcNow()
                .UtcDateTime, TimeSpan.FromMinutes(2), 10, Stop);
        }

        app.Clock.Advance(TimeSpan.FromMinutes(2));
        await SendAsync(app);
        await app.Services.GetRequiredService<DigestResults>()
            .KeepAsync(old!, digest, new MailOutcome.Retry("451 late"), Stop);

        Assert.Equal((SendState.Accepted, "2.0.0 taken"), (await ReadAsync(app, digest.Id)) is var row
            ? (row.State, row.LastReply)
            : default);
    }

    [Theory, OnBothDatabases]
    public async Task Whoever_has_left_or_moved_since_gets_nothing(DatabaseKind kind)
    {
        await using var sink = new SmtpSink();
        await using var app = await StartAsync(kind, sink);
        var unsubscribed = await GivenDigestAsync(app, "bob@example.org");
        var moved = await GivenDigestAsync(app, "eve@example.org");
        await using (var db = app.Database.Open())
        {
            (await db.Members.SingleAsync(m => m.Id == unsubscribed.MemberId, Stop))
                .UnsubscribedAt = DateTime.UnixEpoch;
            (await db.Members.SingleAsync(m => m.Id == moved.MemberId, Stop)).Email = "new@example.org";
            await db.SaveChangesAsync(Stop);
        }

        await SendAsync(app);

        Assert.Empty(sink.Received);
        Assert.Contains("unsubscribed", (await ReadAsync(app, unsubscribed.Id)).LastReply, StringComparison.Ordinal);
        Assert.Contains("has changed", (await ReadAsync(app, moved.Id)).LastReply, StringComparison.Ordinal);
        Assert.Equal(SendState.Dead, (await ReadAsync(app, moved.Id)).State);
    }

    [Theory, OnBothDatabases]
    public async Task A_domain_that_asks_for_patience_is_not_pressed(DatabaseKind kind)
    {
        await using var sink = new SmtpSink
        {
            Answer = line => line.Contains("@busy.example", StringComparison.Ordinal)
            && line.StartsWith("RCPT", StringComparison.Ordinal)
            ? "451 4.7.1 slow down"
            : null
        };
        await using var app = await StartAsync(kind, sink);
        for (var i = 0; i < 10; i++)
        {
            await GivenDigestAsync(app, $"m{i}@busy.example");
        }

        await GivenDigestAsync(app, "bob@example.org");

        Assert.Equal(2, await SendAsync(app));
        Assert.Equal(["bob@example.org"], sink.Received.Single().Recipients);
    }

    /// <summary>30 seconds, then one minute, then two (Outbox/README.md): however many processes wait, one try is
    /// made after each.</summary>
    [Theory, OnBothDatabases]
    public async Task Two_servers_keep_one_pace_for_a_domain(DatabaseKind kind)
    {
        var isBusy = true;
        await using var sink = new SmtpSink
        {
            Answer = line =>
                isBusy
                    && line.Contains("@busy.example", StringComparison.OrdinalIgnoreCase)
                    && line.StartsWith("RCPT", StringComparison.Ordinal)
                    ? "451 4.7.1 slow down"
                    : null,
        };
        await using var database = await TestDatabase.CreateAsync(kind);
        var clock = new FakeTimeProvider(new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));
        await using var first = await TestApp.StartAsync(database, clock, null, Settings(sink));
        await using var second = await TestApp.StartAsync(database, clock, first.Key, Settings(sink));
        for (var i = 0; i < 6; i++)
        {
            await GivenDigestAsync(first, $"m{i}@{(i % 2 == 0 ? "busy.example" : "BUSY.example")}");
        }

        await SendAsync(first);
        Assert.Equal(1, Tries());
        var rest = 30;
        for (var tries = 1; tries <= 2; tries++, rest *= 2)
        {
            clock.Advance(TimeSpan.FromSeconds(rest - 1));
            await BothAsync();
            Assert.Equal(tries, Tries());

            // What was looked at and left waits up to 30 seconds before it is looked at again.
            clock.Advance(TimeSpan.FromSeconds(31));
            await BothAsync();
            Assert.Equal(tries + 1, Tries());
        }

        // Who has the try dies with it: after the length of a lease another has it.
        isBusy = false;
        clock.Advance(TimeSpan.FromSeconds(rest));
        var (one, other) = (
            first.Services.GetRequiredService<DomainPace>(), second.Services.GetRequiredService<DomainPace>());
        await using var db = database.Open();
        await one.LookUpAsync(db, ["busy.example"], Stop);
        await other.LookUpAsync(db, ["busy.example"], Stop);
        var lost = await one.TakeAsync("busy.example", Stop);
        Assert.NotNull(lost);
        Assert.Null(await other.TakeAsync("busy.example", Stop));
        await BothAsync();
        Assert.Equal(3, Tries());
        clock.Advance(new OutboxOptions().Lease);
        await BothAsync();
        await one.AskedAsync(lost, Stop);

        // It took one, so it takes all; and the one thought dead no longer has a say.
        clock.Advance(TimeSpan.FromSeconds(31));
        await BothAsync();
        Assert.Equal(6, sink.Received.Select(mail => mail.Recipients.Single()).Distinct().Count());
        Assert.Equal(6, sink.Received.Count);
        Assert.False(await db.MailDomains.AnyAsync(Stop));

        Task BothAsync() => Task.WhenAll(SendAsync(first), SendAsync(second));
        int Tries() => sink.Commands.Count(command => command.StartsWith("RCPT", StringComparison.Ordinal));
    }

    [Theory, OnBothDatabases]
    public async Task Without_a_mail_server_digests_are_files_in_the_data_folder(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var digest = await GivenDigestAsync(app, "bob@example.org");

        Assert.Equal(1, await SendAsync(app));

        var file = Assert.Single(Directory.GetFiles(Path.Combine(app.Database.Folder, "mail")));
        Assert.Equal(digest.Message, await File.ReadAllBytesAsync(file, Stop));
    }

    [Fact]
    public async Task The_worker_sends_by_itself_and_goes_on_after_a_fault()
    {
        await using var sink = new SmtpSink();
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, null, ("AGEWATCH_SMTP", $"smtp://127.0.0.1:{sink.Port}"));
        var digest = await GivenDigestAsync(app, "bob@example.org");

        for (var i = 0; i < 200 && sink.Received.Count == 0; i++)
        {
            app.Clock.Advance(TimeSpan.FromSeconds(5));
            await Task.Delay(50, Stop);
        }

        Assert.Equal(digest.Message, Assert.Single(sink.Received).Data);
    }

    private static Task<TestApp> StartAsync(DatabaseKind kind, SmtpSink sink) =>
        TestApp.StartAsync(kind, null, Settings(sink));

    // Without the worker of its own, so that the test says when to send.
    private static (string, string)[] Settings(SmtpSink sink) =>
        [("AGEWATCH_ROLE", "api"), ("AGEWATCH_SMTP", $"smtp://127.0.0.1:{sink.Port}")];

    private static Task<int> SendAsync(TestApp app) =>
        app.Services.GetRequiredService<DigestOutbox>().SendDueAsync(Stop);

    private static async Task<Digest> ReadAsync(TestApp app, Guid id)
    {
        await using var db = app.Database.Open();
        return await db.Digests.AsNoTracking().SingleAsync(d => d.Id == id, Stop);
    }

    internal static async Task<Digest> GivenDigestAsync(
        TestApp app, string address, Guid? memberId = null, int day = 25)
    {
        var member = memberId ?? await app.GivenMemberAsync("Bob", address);
        await using var db = app.Database.Open();
        var club = await db.Clubs.Select(c => c.ClubId).SingleAsync(Stop);
        var envelope = DigestMailTests.Envelope(address) with { MessageId = $"d1.{Guid.NewGuid():n}@club.example" };
        var digest = new Digest
        {
            ClubId = club,
            Id = Guid.CreateVersion7(app.Clock.GetUtcNow()),
            MemberId = member,
            Kind = DigestKind.Member,
            RuleVersion = "test",
            LocalDate = new(2026, 11, day),
            Revision = 1,
            Recipient = address,
            Subject = envelope.Subject,
            MessageId = envelope.MessageId,
            Message = DigestMail.Write(envelope, "text\n", "<p>html</p>\n"),
            Lines = 1,
            HeldBack = 0,
            CreatedAt = app.Clock.GetUtcNow().UtcDateTime,
        };
        db.Add(digest);
        await db.SaveChangesAsync(Stop);
        return digest;
    }
}
