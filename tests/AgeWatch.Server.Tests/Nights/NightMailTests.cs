using System.Security.Cryptography;
using System.Text;
using AgeWatch.Server.Tests.Delivery;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using MimeKit;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>From a night to the bytes that lie in the outbox, and from what they offer back to the next
/// night.</summary>
public sealed class NightMailTests
{
    private const string PublicUrl = "https://club.example/agewatch";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>RFC 8058 3.1 and 3.2: both headers, exactly one https address, signed; the POST that the mail program
    /// makes stops the mail.</summary>
    [Theory, OnBothDatabases]
    public async Task What_a_night_writes_is_signed_and_can_be_stopped_with_one_click(DatabaseKind kind)
    {
        using var key = RSA.Create(2048);
        await using var app = await TestApp.StartAsync(
            kind, null, Idle, ("AGEWATCH_PUBLIC_URL", PublicUrl),
            ("AGEWATCH_MAIL_FROM", "Old Iron Club <agewatch@club.example>"),
            ("AGEWATCH_DKIM_KEY", key.ExportRSAPrivateKeyPem()), ("AGEWATCH_DKIM_SELECTOR", "cars"));
        await app.Database.GivenOwnersAsync(2);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.MinuteAsync();

        var bytes = await MailOfAsync(app, "member1@club.example");
        Assert.True(await DigestMailTests.VerifiesAsync(bytes, key));
        using var mail = MimeMessage.Load(new MemoryStream(bytes), Stop);
        Assert.Equal("List-Unsubscribe=One-Click", mail.Headers[HeaderId.ListUnsubscribePost]);
        var address = Assert.Single(mail.Headers[HeaderId.ListUnsubscribe]!.Split(',')).Trim();
        Assert.Matches($"^<{PublicUrl}/unsubscribe/[A-Za-z0-9_-]{{43}}>$", address);
        Assert.Contains(address[1..^1], mail.TextBody, StringComparison.Ordinal);
        Assert.Contains($"href=\"{address[1..^1]}\"", mail.HtmlBody, StringComparison.Ordinal);
        var signed = string.Concat(mail.Headers[HeaderId.DkimSignature]!.Where(c => !char.IsWhiteSpace(c)));
        Assert.Contains("list-unsubscribe:list-unsubscribe-post", signed, StringComparison.OrdinalIgnoreCase);

        using var click = new StringContent(
            "List-Unsubscribe=One-Click", Encoding.ASCII, "application/x-www-form-urlencoded");
        Assert.Equal(
            200, (int)(await app.Anonymous.PostAsync(address[(PublicUrl.Length + 1)..^1], click, Stop)).StatusCode);

        // A week later what still stands is told again.
        app.Clock.MoveTo("2026-12-03T03:30:00");
        await app.MinuteAsync();
        Assert.Equal(["member2@club.example Member"], (await app.Database.DigestsAsync(new(2026, 12, 3))).Keys);
    }

    /// <summary>RFC 8058 3.1: one-click needs https; and each person's address is their own.</summary>
    [Theory]
    [InlineData(null, 0)]
    [InlineData("http://club.example", 0)]
    [InlineData("https://club.example", 3)]
    public async Task Only_an_https_address_is_announced_and_no_two_people_share_one(string? publicUrl, int addresses)
    {
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, null,
            [Idle, .. publicUrl is null ? [] : new[] { ("AGEWATCH_PUBLIC_URL", publicUrl) }]);
        await app.Database.GivenOwnersAsync(3, withOfficer: true);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.MinuteAsync();

        await using var db = app.Database.Open();
        var mails = await db.Digests.AsNoTracking().Select(d => d.Message).ToListAsync(Stop);
        Assert.Equal(4, mails.Count);
        var announced = mails.SelectMany(DigestMailTests.HeaderLines)
            .Where(header => header.Name == "List-Unsubscribe")
            .Select(header => header.Value);
        Assert.Equal(addresses, announced.Distinct().Count());
        Assert.Equal(addresses > 0
            ? 4
            : 0,
            mails.Count(mail => Encoding.ASCII.GetString(mail).Contains("Stop these mails", StringComparison.Ordinal)));
    }

    private static async Task<byte[]> MailOfAsync(TestApp app, string recipient)
    {
        await using var db = app.Database.Open();
        return await db.Digests.AsNoTracking()
            .Where(d => d.Recipient == recipient && d.Kind == DigestKind.Member)
            .Select(d => d.Message)
            .SingleAsync(Stop);
    }
}
