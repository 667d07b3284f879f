using System.Text;
using System.Text.Json;
using AgeWatch.Server.Mail;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class MailEndpointTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_test_mail_goes_the_real_way_and_shows_what_was_said()
    {
        await using var sink = new SmtpSink();
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"), ("AGEWATCH_SMTP", $"smtp://bob@127.0.0.1:{sink.Port}"),
            ("AGEWATCH_SMTP_PASSWORD", "s3cretword"));
        var member = await app.GivenMemberAsync("Bob", "bob@example.org");

        var reply = await (await TestAsync(app.Officer, member)).Json();

        Assert.Equal(
            ("accepted", "2.0.0 taken", "smtp"), (reply.Text("outcome"), reply.Text("words"), reply.Text("way")));
        Assert.Equal(["bob@example.org"], Assert.Single(sink.Received).Recipients);
        var transcript = string.Join('\n', reply.GetProperty("transcript")
            .EnumerateArray()
            .Select(line => line.GetString()));
        Assert.Contains("S: 220 sink.example ESMTP", transcript, StringComparison.Ordinal);
        Assert.Contains("C: RCPT TO:<bob@example.org>", transcript, StringComparison.Ordinal);
        Assert.Contains("S: 250 2.0.0 taken", transcript, StringComparison.Ordinal);
        Assert.Contains("C: AUTH PLAIN", transcript, StringComparison.Ordinal);
        Assert.DoesNotContain("Subject", transcript, StringComparison.Ordinal);
        Assert.DoesNotContain("s3cretword", transcript, StringComparison.Ordinal);
        Assert.DoesNotContain(
            Convert.ToBase64String(Encoding.UTF8.GetBytes("\0bob\0s3cretword")), transcript, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("RCPT", "550 5.1.1 no such user", "refused")]
    [InlineData("RCPT", "451 4.7.1 greylisted", "try-later")]
    [InlineData("MAIL", "550 5.7.1 sender not allowed", "no-server")]
    public async Task The_servers_own_words_come_back(string verb, string answer, string outcome)
    {
        await using var sink = new SmtpSink
        {
            Answer = line =>
            line.StartsWith(verb, StringComparison.Ordinal) ? answer : null
        };
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"), ("AGEWATCH_SMTP", $"smtp://127.0.0.1:{sink.Port}"));

        var reply = await (await TestAsync(app.Officer, await app.GivenMemberAsync("Bob", "bob@example.org"))).Json();

        Assert.Equal((outcome, answer), (reply.Text("outcome"), reply.Text("words")));
    }

    [Fact]
    public async Task Test_mails_are_few_and_only_for_people_of_the_club()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"));
        var member = await app.GivenMemberAsync("Bob", "bob@example.org");
        using var client = await app.GivenKeyAsync("member", member);

        Assert.Equal(403, (int)(await TestAsync(client, member)).StatusCode);
        Assert.Equal(
            ("#/memberId", "no-such-member"),
            (await (await TestAsync(app.Officer, Guid.NewGuid())).Problem(422, "validation"))
            .Errors()
            .Single());
        for (var i = 0; i < 10; i++)
        {
            Assert.Equal("files", (await (await TestAsync(app.Officer, member)).Json()).Text("way"));
        }

        var refused = await TestAsync(app.Officer, member);
        await refused.Problem(429, "too-many-requests");
        Assert.Equal(TimeSpan.FromHours(1), refused.Headers.RetryAfter?.Delta);
        app.Clock.Advance(TimeSpan.FromHours(1));
        Assert.Equal(200, (int)(await TestAsync(app.Officer, member)).StatusCode);
    }

    /// <summary>RFC 8058 3.1, 3.2 (rfc8058/one-click): a POST in either form stops the mail, no redirect, no sign-in,
    /// no cookie; a GET never does.</summary>
    [Theory, OnBothDatabases]
    public async Task One_click_stops_the_mail_and_a_look_does_not(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var digest = await DigestOutboxTests.GivenDigestAsync(app, "bob@example.org");
        var path = await GivenTokenAsync(app, digest);

        var look = await app.Anonymous.GetAsync(path, Stop);
        Assert.Equal(200, (int)look.StatusCode);
        Assert.Contains("<form method=\"post\">", await look.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        Assert.False(await IsUnsubscribedAsync(app, digest.MemberId));

        var cases = DeliveryVectors.Cases("rfc8058/one-click");
        var published = cases.Single(c => c.TryGetProperty("post", out _)).Text("post")!.Split("\r\n\r\n")[1];
        using var form = new StringContent(published, Encoding.ASCII, "application/x-www-form-urlencoded");
        for (var i = 0; i < 2; i++)
        {
            var post = await app.Anonymous.PostAsync(path, form, Stop);
            Assert.Equal(200, (int)post.StatusCode);
            Assert.False(post.Headers.Contains("Set-Cookie"));
            Assert.True(await IsUnsubscribedAsync(app, digest.MemberId));
        }

        await using var db = app.Database.Open();
        Assert.Equal(SendState.Dead, (await db.Digests.SingleAsync(Stop)).State);
    }

    [Fact]
    public async Task One_click_takes_multipart_and_can_be_undone_by_the_person()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"));
        var digest = await DigestOutboxTests.GivenDigestAsync(app, "bob@example.org");
        var path = await GivenTokenAsync(app, digest);
        var vector = DeliveryVectors.Cases("rfc8058/one-click").Single(c => c.TryGetProperty("post_multipart", out _));

        using var form = new StringContent(vector.Text("post_multipart")!);
        form.Headers.Remove("Content-Type");
        form.Headers.TryAddWithoutValidation("Content-Type", vector.Text("content_type"));
        Assert.Equal(200, (int)(await app.Anonymous.PostAsync(path, form, Stop)).StatusCode);
        Assert.True(await IsUnsubscribedAsync(app, digest.MemberId));

        using var again = new FormUrlEncodedContent([new("List-Unsubscribe", "Resume")]);
        Assert.Equal(200, (int)(await app.Anonymous.PostAsync(path, again, Stop)).StatusCode);
        Assert.False(await IsUnsubscribedAsync(app, digest.MemberId));

        using var other = new FormUrlEncodedContent([new("List-Unsubscribe", "Whatever")]);
        Assert.Equal(400, (int)(await app.Anonymous.PostAsync(path, other, Stop)).StatusCode);
        Assert.Equal(404, (int)(await app.Anonymous.PostAsync("/unsubscribe/nobody", again, Stop)).StatusCode);
        Assert.Equal(404, (int)(await app.Anonymous.GetAsync("/unsubscribe/nobody", Stop)).StatusCode);
    }

    [Fact]
    public async Task Without_a_public_https_address_there_is_no_unsubscribe_address()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"));
        await using var db = app.Database.Open();

        Assert.Null(await UnsubscribeTokens.AddressAsync(db, null, Guid.NewGuid(), Guid.NewGuid(), Stop));
        Assert.Null(await UnsubscribeTokens.AddressAsync(
            db, "http://club.example", Guid.NewGuid(), Guid.NewGuid(), Stop));
    }

    private static Task<HttpResponseMessage> TestAsync(HttpClient client, Guid memberId) =>
        client.Ask(HttpMethod.Post, "/v1/mail-tests", JsonSerializer.Serialize(new { memberId }));

    private static Task<string> GivenTokenAsync(TestApp app, Digest digest) => app.InScopeAsync(async services =>
    {
        var db = services.GetRequiredService<AgeWatchContext>();
        var address = await UnsubscribeTokens.AddressAsync(
            db, "https://club.example/agewatch", digest.ClubId, digest.MemberId, Stop);
        Assert.Equal(
            address,
            await UnsubscribeTokens.AddressAsync(
                db, "https://club.example/agewatch", digest.ClubId, digest.MemberId, Stop));
        Assert.Matches("^https://club\\.example/agewatch/unsubscribe/[A-Za-z0-9_-]{43}$", address!.AbsoluteUri);
        return address.AbsolutePath["/agewatch".Length..];
    });

    private static async Task<bool> IsUnsubscribedAsync(TestApp app, Guid memberId)
    {
        await using var db = app.Database.Open();
        return await db.Members.AnyAsync(m => m.Id == memberId && m.UnsubscribedAt != null, Stop);
    }
}
