using System.Security.Cryptography;
using System.Text;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Mail;
using MimeKit;
using MimeKit.Cryptography;
using Org.BouncyCastle.Crypto;
using Org.BouncyCastle.Security;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class DigestMailTests
{
    private static readonly byte[] Seal = Encoding.ASCII.GetBytes(new string('k', 32));
    private static readonly Guid Club = Guid.Parse("01890000-0000-7000-8000-000000000001");
    private static readonly Guid Bob = Guid.Parse("01890000-0000-7000-8000-000000000002");

    internal static DigestEnvelope Envelope(
        string to = "bob@example.org", string name = "Bob", string subject = "2 things due", int revision = 1) => new(
        new MailboxAddress("Old Iron Club", "agewatch@club.example"),
        new MailboxAddress(name, to),
        subject,
        MessageIds.Make(Seal, Club, Bob, "member", new(2026, 11, 25), revision, "club.example"),
        new DateTimeOffset(2026, 11, 25, 3, 30, 0, TimeSpan.Zero),
        "Old Iron Club",
        "digest.c1.club.example",
        UnsubscribeUrl: new Uri("https://club.example/v1/unsubscribe/t0ken"));

    [Fact]
    public void The_same_digest_is_the_same_bytes()
    {
        var first = DigestMail.Write(Envelope(), "text ä\n", "<p>html ä</p>\n");
        var second = DigestMail.Write(Envelope(), "text ä\n", "<p>html ä</p>\n");

        Assert.Equal(first, second);
    }

    /// <summary>RFC 5322 3.6.4: a revision is another message; one id never names two of them.</summary>
    [Fact]
    public void Message_ids_tell_every_message_apart_and_nothing_else()
    {
        string Id(Guid? club = null, Guid? member = null, string kind = "member", int day = 25, int revision = 1) =>
            MessageIds.Make(Seal, club ?? Club, member ?? Bob, kind, new(2026, 11, day), revision, "club.example");

        string[] ids = [Id(), Id(club: Bob), Id(member: Club), Id(kind: "officer"), Id(day: 26), Id(revision: 2)];

        Assert.Equal(ids.Length, ids.Distinct().Count());
        Assert.Equal(Id(), ids[0]);
        Assert.All(ids, id => Assert.Matches("^d1\\.[a-z2-7]{32}@club\\.example$", id));
    }

    /// <summary>RFC 4648 section 10 has BASE32("foobar") = MZXW6YTBOI; here 20 bytes of HMAC, computed a second
    /// way.</summary>
    [Fact]
    public void The_code_is_base32_of_the_seal()
    {
        var id = MessageIds.Make(Seal, Club, Bob, "member", new(2026, 11, 25), 1, "club.example");
        byte[] named =
        [
            .. Convert.FromHexString(Club.ToString("n")), .. Convert.FromHexString(Bob.ToString("n")),
            .. BitConverter.GetBytes(System.Net.IPAddress.HostToNetworkOrder(new DateOnly(2026, 11, 25).DayNumber)), 0,
            0, 0, 1,
            .. "member"u8,
        ];
        var bits = string.Concat(System.Security.Cryptography.HMACSHA256.HashData(Seal, named)
            .Take(20)
            .Select(b => Convert.ToString(b, 2).PadLeft(8, '0')));
        var code = string.Concat(bits.Chunk(5)
            .Select(five => "abcdefghijklmnopqrstuvwxyz234567"[Convert.ToInt32(new string(five), 2)]));

        Assert.Equal($"d1.{code}@club.example", id);
    }

    [Fact]
    public void Headers_are_these_and_no_others()
    {
        var headers = HeaderLines(DigestMail.Write(Envelope(), "t", "h"));

        Assert.Equal(
            [
                "Auto-Submitted", "Content-Type", "Date", "From", "List-Id", "List-Unsubscribe",
                "List-Unsubscribe-Post",
                "MIME-Version", "Message-Id", "Subject", "To", "X-Auto-Response-Suppress",
            ],
            headers.Select(h => h.Name).Order(StringComparer.Ordinal));
        Assert.Equal("auto-generated", Value(headers, "Auto-Submitted"));
        Assert.Equal("Wed, 25 Nov 2026 03:30:00 +0000", Value(headers, "Date"));
        Assert.Equal("Old Iron Club <digest.c1.club.example>", Value(headers, "List-Id"));
        Assert.Equal("<https://club.example/v1/unsubscribe/t0ken>", Value(headers, "List-Unsubscribe"));
        Assert.Equal("List-Unsubscribe=One-Click", Value(headers, "List-Unsubscribe-Post"));
    }

    /// <summary>RFC 8058 3.1: one-click needs an https address; any other is not announced.</summary>
    [Fact]
    public void Without_https_no_unsubscribe_is_announced()
    {
        var headers = HeaderLines(DigestMail.Write(
            Envelope() with { UnsubscribeUrl = new Uri("http://club.example/u/t") }, "t", "h"));

        Assert.DoesNotContain(headers, h => h.Name.StartsWith("List-Unsubscribe", StringComparison.Ordinal));
    }

    /// <summary>Wire form of rfc2047/subject in the interface vectors.</summary>
    [Fact]
    public void Names_outside_ascii_are_encoded_words()
    {
        var mail = DigestMail.Write(
            Envelope(name: "Jürgen", subject: "Straße fällig") with { ListName = "Verein für Altes" }, "t", "h");
        var headers = HeaderLines(mail);

        Assert.Equal("=?utf-8?b?U3RyYcOfZSBmw6RsbGln?=", Value(headers, "Subject"));
        Assert.EndsWith(" <digest.c1.club.example>", Value(headers, "List-Id"), StringComparison.Ordinal);
        Assert.All(mail, b => Assert.True(b < 128));
        using var read = MimeMessage.Load(new MemoryStream(mail), TestContext.Current.CancellationToken);
        Assert.Equal("Jürgen", read.To.Mailboxes.Single().Name);
        Assert.Equal("Straße fällig", read.Subject);
        Assert.StartsWith(
            "Verein für Altes ", MimeKit.Utils.Rfc2047.DecodeText(Encoding.ASCII.GetBytes(Value(headers, "List-Id"))),
            StringComparison.Ordinal);
    }

    /// <summary>RFC 5322 2.1.1: at most 998 octets a line, 78 wished for; CR and LF only together.</summary>
    [Fact]
    public void Lines_are_short_and_end_in_crlf()
    {
        var mail = DigestMail.Write(
            Envelope(subject: string.Join(' ', Enumerable.Repeat("Überfällig", 18))),
            new string('ä', 5000) + "\n.\n..\nFrom here\n", "<p>" + new string('x', 5000) + "</p>");
        var text = Encoding.ASCII.GetString(mail);

        Assert.DoesNotContain('\n', text.Replace("\r\n", "", StringComparison.Ordinal));
        Assert.DoesNotContain('\r', text.Replace("\r\n", "", StringComparison.Ordinal));
        Assert.All(text.Split("\r\n"), line => Assert.True(line.Length <= 78, line));
    }

    /// <summary>RFC 8058 3.1: both unsubscribe headers lie under the signature. RFC 6376: another verifier finds it
    /// good, and bad after a change.</summary>
    [Fact]
    public async Task A_signature_covers_what_it_must()
    {
        using var key = RSA.Create(2048);
        var signer = new MailSigner(
            new DkimOptions { DkimKey = key.ExportRSAPrivateKeyPem(), DkimSelector = "cars" },
            new MailOptions { MailFrom = "agewatch@club.example" }).Signer;

        var mail = DigestMail.Write(Envelope(), "Grüße\n.\n", "<p>Grüße</p>\n", signer);

        var signature = Value(HeaderLines(mail), "DKIM-Signature");
        Assert.Contains("d=club.example", signature, StringComparison.Ordinal);
        Assert.Contains("s=cars", signature, StringComparison.Ordinal);
        Assert.Contains(
            "list-unsubscribe:list-unsubscribe-post", string.Concat(signature.Where(c => !char.IsWhiteSpace(c))),
            StringComparison.OrdinalIgnoreCase);
        Assert.True(await VerifiesAsync(mail, key));
        Assert.False(await VerifiesAsync(
            Encoding.ASCII.GetBytes(Encoding.ASCII.GetString(mail)
                .Replace("2 things due", "3 things due", StringComparison.Ordinal)),
            key));
    }

    internal static async Task<bool> VerifiesAsync(byte[] mail, RSA key)
    {
        using var message = MimeMessage.Load(new MemoryStream(mail), TestContext.Current.CancellationToken);
        var verifier = new DkimVerifier(new KnownKey(key));
        return await verifier.VerifyAsync(
            message, message.Headers[message.Headers.IndexOf(HeaderId.DkimSignature)],
            TestContext.Current.CancellationToken);
    }

    private sealed class KnownKey(RSA key) : IDkimPublicKeyLocator
    {
        public AsymmetricKeyParameter LocatePublicKey(
            string methods, string domain, string selector, CancellationToken cancellationToken = default) =>
            PublicKeyFactory.CreateKey(key.ExportSubjectPublicKeyInfo());

        public Task<AsymmetricKeyParameter> LocatePublicKeyAsync(
            string methods, string domain, string selector, CancellationToken cancellationToken = default) =>
            Task.FromResult(LocatePublicKey(methods, domain, selector, cancellationToken));
    }

    /// <summary>RFC 2046 5.1.4: the last alternative is the one preferred, so plain text comes first.</summary>
    [Fact]
    public void Text_comes_before_html_and_both_read_back()
    {
        var text = "Due: äöü €\n\n.\n";
        var html = "<p>Due: äöü &euro;</p>\n";
        using var read = MimeMessage.Load(
            new MemoryStream(DigestMail.Write(Envelope(), text, html)), TestContext.Current.CancellationToken);

        var body = Assert.IsType<MultipartAlternative>(read.Body);
        Assert.Equal(["text/plain", "text/html"], body.Select(part => part.ContentType.MimeType));
        Assert.Equal(text, read.TextBody?.ReplaceLineEndings("\n"));
        Assert.Equal(html, read.HtmlBody?.ReplaceLineEndings("\n"));
    }

    public static IReadOnlyList<(string Name, string Value)> HeaderLines(byte[] mail)
    {
        var head = Encoding.UTF8.GetString(mail)
            .Split("\r\n\r\n", 2)[0]
            .Replace("\r\n\t", " ", StringComparison.Ordinal)
            .Replace("\r\n ", " ", StringComparison.Ordinal);
        return [.. head.Split("\r\n").Select(line => line.Split(": ", 2)).Select(pair => (pair[0], pair[1]))];
    }

    private static string Value(IReadOnlyList<(string Name, string Value)> headers, string name) =>
        Assert.Single(headers, h => h.Name == name).Value;
}
