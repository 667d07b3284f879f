using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Mail;

namespace AgeWatch.Server.Tests.Delivery;

/// <summary>Real SMTP over a socket.</summary>
public sealed class SmtpChannelTests
{
    private const string Sender = "bounces@club.example";

    [Fact]
    public async Task The_stored_bytes_arrive_unchanged_for_one_recipient_only()
    {
        await using var sink = new SmtpSink();
        await using var channel = Open(sink);
        var mail = Mail("bob@example.org", text: "first\n.\n..two dots\n\nGrüße\n");

        var outcome = await channel.SendAsync(mail, TestContext.Current.CancellationToken);

        Assert.Equal("2.0.0 taken", Assert.IsType<MailOutcome.Accepted>(outcome).Words);
        var received = Assert.Single(sink.Received);
        Assert.Equal(Sender, received.MailFrom);
        Assert.Equal(["bob@example.org"], received.Recipients);
        Assert.Equal(mail.Message.ToArray(), received.Data);
    }

    [Fact]
    public async Task Names_that_look_like_headers_add_no_header_and_no_recipient()
    {
        await using var sink = new SmtpSink();
        await using var channel = Open(sink);
        string[] names = [
            "\"><img src=x onerror=1>", "Bob, eve@example.net", "Bob <eve@example.net>", "Bcc: eve@example.net",
            "=?utf-8?q?Bcc=3A?=", new string('n', 200), "🚗 {{7*7}}"];

        foreach (var name in names)
        {
            var message = DigestMail.Write(DigestMailTests.Envelope(name: name, subject: name), "t", "h");
            await channel.SendAsync(
                new OutgoingMail("bob@example.org", "m@x", message), TestContext.Current.CancellationToken);
        }

        var plain = DigestMailTests.HeaderLines(DigestMail.Write(DigestMailTests.Envelope(), "t", "h"))
            .Select(h => h.Name)
            .ToList();
        Assert.Equal(names.Length, sink.Received.Count);
        Assert.All(sink.Received, received =>
        {
            Assert.Equal(["bob@example.org"], received.Recipients);
            Assert.Equal(plain, DigestMailTests.HeaderLines(received.Data).Select(h => h.Name));
        });
    }

    [Fact]
    public async Task One_connection_carries_many_messages()
    {
        await using var sink = new SmtpSink();
        await using (var channel = Open(sink))
        {
            for (var i = 0; i < 5; i++)
            {
                await channel.SendAsync(Mail($"bob{i}@example.org"), TestContext.Current.CancellationToken);
            }
        }

        Assert.Equal(1, sink.Connections);
        Assert.Equal(5, sink.Received.Count);
        Assert.Equal("QUIT", sink.Commands.Last());
    }

    /// <summary>RFC 5321 4.2.1: 4yz is transient, 5yz permanent; RFC 3463: 5.1.1 is a mailbox that does not
    /// exist.</summary>
    [Theory]
    [InlineData("RCPT", "550 5.1.1 no such user", "NoSuchAddress")]
    [InlineData("RCPT", "550 5.7.1 not from you", "Recipient")]
    [InlineData("RCPT", "552 5.2.2 mailbox full", "Recipient")]
    [InlineData("RCPT", "550 go away", "Recipient")]
    [InlineData("RCPT", "451 4.7.1 greylisted", null)]
    [InlineData("MAIL", "550 5.7.1 sender refused", null)]
    [InlineData("MAIL", "451 4.3.0 later", null)]
    [InlineData("DATA", "451 4.3.0 later", null)]
    public async Task A_refusal_is_judged_by_its_code(string verb, string reply, string? fault)
    {
        await using var sink = new SmtpSink
        {
            Answer = line =>
            line.StartsWith(verb, StringComparison.Ordinal) ? reply : null
        };
        await using var channel = Open(sink);

        var outcome = await channel.SendAsync(Mail("bob@example.org"), TestContext.Current.CancellationToken);

        Assert.Equal(fault, outcome is MailOutcome.Refused refused ? refused.Fault.ToString() : null);
        Assert.IsNotType<MailOutcome.Accepted>(outcome);
        Assert.Contains(reply[4..], outcome.Words, StringComparison.Ordinal);
        Assert.StartsWith(reply[..3], outcome.Words, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("554 5.7.1 looks like spam", "Message")]
    [InlineData("452 4.3.1 disk full", null)]
    public async Task A_refusal_after_the_data_is_about_the_message(string reply, string? fault)
    {
        await using var sink = new SmtpSink { AnswerToData = _ => reply };
        await using var channel = Open(sink);

        var outcome = await channel.SendAsync(Mail("bob@example.org"), TestContext.Current.CancellationToken);

        Assert.Equal(fault, outcome is MailOutcome.Refused refused ? refused.Fault.ToString() : null);
        Assert.Equal(fault is null, outcome is MailOutcome.Retry);
    }

    [Fact]
    public async Task One_refused_recipient_does_not_spoil_the_next()
    {
        await using var sink = new SmtpSink
        {
            Answer = line =>
            line.Contains("gone@", StringComparison.Ordinal) ? "550 5.1.1 gone" : null
        };
        await using var channel = Open(sink);

        Assert.IsType<MailOutcome.Refused>(await channel.SendAsync(
            Mail("gone@example.org"), TestContext.Current.CancellationToken));
        Assert.IsType<MailOutcome.Accepted>(await channel.SendAsync(
            Mail("bob@example.org"), TestContext.Current.CancellationToken));

        Assert.Equal(["bob@example.org"], Assert.Single(sink.Received).Recipients);
        Assert.Equal(1, sink.Connections);
    }

    /// <summary>RFC 1047: the server may hold the message although the client never saw the reply; only a second try
    /// can be sure.</summary>
    [Fact]
    public async Task A_lost_final_reply_means_the_same_bytes_again()
    {
        var first = true;
        await using var sink = new SmtpSink();
        sink.AnswerToData = _ => Interlocked.Exchange(ref first, false) ? "" : "250 2.0.0 taken";
        await using var channel = Open(sink);
        var mail = Mail("bob@example.org");

        Assert.IsType<MailOutcome.Retry>(await channel.SendAsync(mail, TestContext.Current.CancellationToken));
        Assert.IsType<MailOutcome.Accepted>(await channel.SendAsync(mail, TestContext.Current.CancellationToken));

        Assert.Equal(2, sink.Received.Count);
        Assert.Equal(sink.Received[0].Data, sink.Received[1].Data);
    }

    [Fact]
    public async Task A_server_tired_of_the_connection_gets_a_new_one_at_once()
    {
        var mails = 0;
        await using var sink = new SmtpSink
        {
            Answer = line =>
                line.StartsWith("MAIL", StringComparison.Ordinal) && Interlocked.Increment(ref mails) == 2
                    ? "421 4.3.2 enough"
                    : null,
        };
        await using var channel = Open(sink);

        Assert.IsType<MailOutcome.Accepted>(await channel.SendAsync(
            Mail("a@example.org"), TestContext.Current.CancellationToken));
        Assert.IsType<MailOutcome.Accepted>(await channel.SendAsync(
            Mail("b@example.org"), TestContext.Current.CancellationToken));

        Assert.Equal(2, sink.Connections);
    }

    [Fact]
    public async Task No_server_is_a_reason_to_try_later()
    {
        int port;
        await using (var sink = new SmtpSink())
        {
            port = sink.Port;
        }

        await using var channel = new SmtpChannel(
            new("127.0.0.1", port, SmtpSecurity.None), Sender, TimeProvider.System);

        var outcome = await channel.SendAsync(Mail("bob@example.org"), TestContext.Current.CancellationToken);

        Assert.NotEmpty(Assert.IsType<MailOutcome.NoServer>(outcome).Words);
    }

    [Fact]
    public async Task A_refused_sign_in_is_the_operators_to_mend()
    {
        await using var sink = new SmtpSink
        {
            Answer = line =>
            line.StartsWith("AUTH", StringComparison.Ordinal) ? "535 5.7.8 wrong password" : null
        };
        await using var channel = Open(
            sink, new SmtpTarget("127.0.0.1", sink.Port, SmtpSecurity.None, "bob", "s3cret"));

        var outcome = await channel.SendAsync(Mail("bob@example.org"), TestContext.Current.CancellationToken);

        Assert.Contains("wrong password", Assert.IsType<MailOutcome.NoServer>(outcome).Words, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Starttls_is_never_given_up_for_plain_text()
    {
        await using var sink = new SmtpSink();
        await using var channel = Open(sink, new SmtpTarget("127.0.0.1", sink.Port, SmtpSecurity.StartTls));

        Assert.IsType<MailOutcome.NoServer>(await channel.SendAsync(
            Mail("bob@example.org"), TestContext.Current.CancellationToken));
        Assert.Empty(sink.Received);
    }

    [Fact]
    public async Task Starttls_trusts_the_operators_own_authority_and_no_stranger()
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest("CN=localhost", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName("localhost");
        request.CertificateExtensions.Add(names.Build());
        using var made = request.CreateSelfSigned(TimeProvider.System.GetUtcNow()
            .AddDays(-1), TimeProvider.System.GetUtcNow()
            .AddDays(1));
        using var certificate = X509CertificateLoader.LoadPkcs12(made.Export(X509ContentType.Pkcs12), null);
        var caFile = Path.GetTempFileName();
        await File.WriteAllTextAsync(caFile, made.ExportCertificatePem(), TestContext.Current.CancellationToken);
        try
        {
            await using var sink = new SmtpSink(certificate);
            var target = new SmtpTarget("localhost", sink.Port, SmtpSecurity.StartTls, "bob", "s3cret");
            await using var stranger = Open(sink, target);
            await using var known = Open(sink, target with { CaFile = caFile });

            Assert.IsType<MailOutcome.NoServer>(await stranger.SendAsync(
                Mail("bob@example.org"), TestContext.Current.CancellationToken));
            Assert.IsType<MailOutcome.Accepted>(await known.SendAsync(
                Mail("bob@example.org"), TestContext.Current.CancellationToken));
            Assert.Single(sink.Received);
        }
        finally
        {
            File.Delete(caFile);
        }
    }

    [Fact]
    public async Task Without_a_server_mail_is_a_file_that_tells_no_address_by_its_name()
    {
        var folder = Directory.CreateTempSubdirectory("agewatch-eml-").FullName;
        try
        {
            await using var channel = new EmlFolderChannel(folder);
            var mail = Mail("bob@example.org");

            Assert.IsType<MailOutcome.Accepted>(await channel.SendAsync(mail, TestContext.Current.CancellationToken));
            Assert.IsType<MailOutcome.Accepted>(await channel.SendAsync(mail, TestContext.Current.CancellationToken));

            var file = Assert.Single(Directory.GetFiles(folder));
            Assert.Matches("^[0-9a-f]{24}\\.eml$", Path.GetFileName(file));
            Assert.Equal(
                mail.Message.ToArray(), await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static SmtpChannel Open(SmtpSink sink, SmtpTarget? target = null) =>
        new(target ?? new SmtpTarget("127.0.0.1", sink.Port, SmtpSecurity.None), Sender, TimeProvider.System);

    private static OutgoingMail Mail(string to, string text = "text\n") =>
        new(to, "d1.x@club.example", DigestMail.Write(DigestMailTests.Envelope(to), text, "<p>html</p>\n"));
}
