using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Digests;

public sealed class DigestEndpointTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task An_officer_reads_what_was_written_to_whom_and_the_very_bytes(DatabaseKind kind)
    {
        await using var app = await GivenDigestsAsync(kind);
        var second = await RowAsync(app, "member2@club.example", DigestKind.Member);

        var items = await ItemsAsync(app.Officer, "/v1/digests");
        Assert.Equal(4, items.Count);
        Assert.Equal(4, (await ItemsAsync(app.Officer, "/v1/digests?localDate=2026-11-26&state=waiting")).Count);
        Assert.Empty(await ItemsAsync(app.Officer, "/v1/digests?localDate=2026-11-25"));
        Assert.Empty(await ItemsAsync(app.Officer, "/v1/digests?state=dead"));
        Assert.Equal([second.Id], (await ItemsAsync(app.Officer, $"/v1/digests?memberId={second.MemberId}"))
            .Select(d => d.GetProperty("id").GetGuid()));

        var read = await (await app.Officer.Ask(HttpMethod.Get, $"/v1/digests/{second.Id}")).Json();
        Assert.Equal(second.Subject, read.GetProperty("digest").GetProperty("subject").GetString());
        Assert.Equal(
            new[] { "brake hose", "timing belt" }, read.GetProperty("lines")
                .EnumerateArray()
                .Select(line => line.GetProperty("text").GetString()!)
                .Select(text => text.Contains("brake hose", StringComparison.Ordinal)
                    ? "brake hose"
                    : text.Contains("timing belt", StringComparison.Ordinal)
                    ? "timing belt"
                    : text).Order());

        var message = await app.Officer.Ask(HttpMethod.Get, $"/v1/digests/{second.Id}/message");
        Assert.Equal("message/rfc822", message.Content.Headers.ContentType?.MediaType);
        Assert.Equal(second.Message, await message.Content.ReadAsByteArrayAsync(Stop));
        await (await app.Officer.Ask(HttpMethod.Get, $"/v1/digests/{Guid.NewGuid()}")).Problem(404, "not-found");
    }

    /// <summary>Member 1 is the officer too, yet a member's key does not reach the officer's digest: it speaks of other
    /// people's cars.</summary>
    [Theory, OnBothDatabases]
    public async Task A_member_reads_no_digest_but_their_own(DatabaseKind kind)
    {
        await using var app = await GivenDigestsAsync(kind);
        var own = await RowAsync(app, "member1@club.example", DigestKind.Member);
        var others = new[] { await RowAsync(app, "member1@club.example", DigestKind.Officer),
        await RowAsync(app, "member2@club.example", DigestKind.Member) };
        using var member = await app.GivenKeyAsync("member", own.MemberId);

        Assert.Equal([own.Id], (await ItemsAsync(member, "/v1/digests")).Select(d => d.GetProperty("id").GetGuid()));
        Assert.Empty(await ItemsAsync(member, $"/v1/digests?memberId={others[1].MemberId}"));
        Assert.Equal(200, (int)(await member.Ask(HttpMethod.Get, $"/v1/digests/{own.Id}")).StatusCode);
        Assert.Equal(200, (int)(await member.Ask(HttpMethod.Get, $"/v1/digests/{own.Id}/message")).StatusCode);
        foreach (var other in others)
        {
            await (await member.Ask(HttpMethod.Get, $"/v1/digests/{other.Id}")).Problem(404, "not-found");
            await (await member.Ask(HttpMethod.Get, $"/v1/digests/{other.Id}/message")).Problem(404, "not-found");
        }

        using var reader = await app.GivenKeyAsync("reader");
        await (await reader.Ask(HttpMethod.Get, "/v1/digests")).Problem(403, "forbidden");
        await (await reader.Ask(HttpMethod.Get, $"/v1/digests/{own.Id}/message")).Problem(403, "forbidden");
    }

    private static async Task<TestApp> GivenDigestsAsync(DatabaseKind kind)
    {
        var app = await TestApp.StartAsync(kind, null, Idle);
        await app.Database.GivenOwnersAsync(3, withOfficer: true);
        app.Clock.MoveTo("2026-11-26T03:30:00");
        await app.MinuteAsync();
        return app;
    }

    private static async Task<IReadOnlyList<System.Text.Json.JsonElement>> ItemsAsync(HttpClient client, string path) =>
        [.. (await (await client.Ask(HttpMethod.Get, path)).Json()).GetProperty("items").EnumerateArray()];

    private static async Task<Digest> RowAsync(TestApp app, string recipient, DigestKind kind)
    {
        await using var db = app.Database.Open();
        return await db.Digests.AsNoTracking().SingleAsync(d => d.Recipient == recipient && d.Kind == kind, Stop);
    }
}
