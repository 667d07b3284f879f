using System.Text.RegularExpressions;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Tests.Delivery;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using MimeKit;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Digests;

/// <summary>The links in a digest: a person without a key follows them, and nobody gets further by them than the mail
/// did.</summary>
public sealed partial class DigestPageTests
{
    private const string PublicUrl = "https://club.example/agewatch";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Every_link_of_a_digest_opens_without_a_key_and_shows_its_readers_cars_alone(DatabaseKind kind)
    {
        await using var app = await GivenAsync(kind);
        var car = await CarAsync(app, 1);
        await GivenPersonalFactsAsync(app, car);
        await app.GivenAsync(
            "/v1/subscriptions",
            new { memberId = await MemberAsync(app, 3), vehicleId = car, leastHazard = "catastrophic" });
        await NightAsync(app);

        // Member 2 owns Car 2 and nothing else. Its lines share one address, and the foot has another.
        using var mail = await MailAsync(app, 2);
        var links = Links(mail.TextBody);
        Assert.Equal(Links(mail.HtmlBody), links);
        Assert.Equal(2, links.Count);
        Assert.All(links, link => Assert.Matches("^/agewatch/look/[A-Za-z0-9_-]{86}$", link));
        Assert.All([mail.TextBody, mail.HtmlBody], body =>
            Assert.Matches(@"until and including\s+(<[^>]*>)?2026-12-26", body));
        Assert.All([mail.TextBody, mail.HtmlBody], body =>
            Assert.DoesNotContain($"{PublicUrl}/v1/", body, StringComparison.Ordinal));
        var (vehicle, list) = (links[0], links[1]);

        var before = await FingerprintAsync(app);
        var page = await OpenAsync(app, vehicle);
        Assert.Contains("<h1>Status list: Car 2</h1>", page, StringComparison.Ordinal);
        Assert.Contains(
            "Replace 72 months from manufacture (common practice, no source)", page, StringComparison.Ordinal);
        Assert.Contains("2026-12-26", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Car 1", page, StringComparison.Ordinal);
        var all = await OpenAsync(app, list);
        Assert.Contains("Car 2", all, StringComparison.Ordinal);
        Assert.Contains("Brake hose, flexible", all, StringComparison.Ordinal);
        Assert.DoesNotMatch("Car [13]|Member|@club", all);
        Assert.Equal(vehicle, "/agewatch/look/"
            + Assert.Single(Regex.Matches(all, "href=\"([^\"]+)\"")).Groups[1].Value);
        Assert.Equal(before, await FingerprintAsync(app));

        // The owner's own page tells nothing that leads to a person or names the very car.
        using var own = await MailAsync(app, 1);
        var ownPage = await OpenAsync(app, Links(own.TextBody)[0]);
        Assert.Contains("Car 1", ownPage, StringComparison.Ordinal);
        Assert.Contains("hairline cracks", ownPage, StringComparison.Ordinal);
        Assert.DoesNotMatch("canary|Member 1", ownPage);

        // Subscribed to from the worst class on: of Car 1 the hoses (catastrophic), not the belt (critical).
        using var subscriber = await MailAsync(app, 3);
        var pages = await Task.WhenAll(Links(subscriber.TextBody).Select(link => OpenAsync(app, link)));
        var foreign = Assert.Single(pages, p => p.Contains("<h1>Status list: Car 1</h1>", StringComparison.Ordinal));
        Assert.Contains("Brake hose, flexible", foreign, StringComparison.Ordinal);
        Assert.DoesNotContain("Timing belt", foreign, StringComparison.Ordinal);
        Assert.Contains("Not all of this vehicle: 1 more of its parts and tasks", foreign, StringComparison.Ordinal);
        Assert.DoesNotContain("Not all of this vehicle", ownPage, StringComparison.Ordinal);

        // The officer's list is of the whole club and names nobody.
        using var officer = await MailAsync(app, 1, DigestKind.Officer);
        var across = await OpenAsync(app, Links(officer.TextBody)[^1]);
        Assert.Contains("<h1>Dangers across the club</h1>", across, StringComparison.Ordinal);
        Assert.All(Enumerable.Range(1, 3), i => Assert.Contains($"Car {i}", across, StringComparison.Ordinal));
        Assert.DoesNotMatch("Member|@club|canary", across);
    }

    /// <summary>What a browser, a cache, a search engine and the next site are told; and that a link is for reading
    /// alone.</summary>
    [Fact]
    public async Task A_link_reads_and_leaves_no_trace()
    {
        await using var app = await GivenAsync(DatabaseKind.Sqlite);
        await NightAsync(app);
        using var mail = await MailAsync(app, 2);
        foreach (var link in Links(mail.TextBody))
        {
            var reply = await app.Anonymous.GetAsync(link, Stop);
            Assert.Equal(
                (200, "text/html; charset=utf-8"),
                ((int)reply.StatusCode, reply.Content.Headers.ContentType?.ToString()));
            Assert.Equal("no-referrer", Assert.Single(reply.Headers.GetValues("Referrer-Policy")));
            Assert.Equal(
                "private, no-store",
                string.Join(", ", reply.Headers.GetValues("Cache-Control")
                    .SelectMany(v => v.Split(", "))
                    .Order()
                    .Reverse()));
            Assert.StartsWith(
                "noindex", Assert.Single(reply.Headers.GetValues("X-Robots-Tag")), StringComparison.Ordinal);
            Assert.StartsWith(
                "default-src 'none'", Assert.Single(reply.Headers.GetValues("Content-Security-Policy")),
                StringComparison.Ordinal);
            Assert.False(reply.Headers.Contains("Set-Cookie"));

            Assert.Equal(200, (int)(await app.Anonymous.Ask(HttpMethod.Head, link)).StatusCode);
            foreach (var method in new[] { HttpMethod.Post, HttpMethod.Put, HttpMethod.Patch, HttpMethod.Delete })
            {
                Assert.Equal(405, (int)(await app.Anonymous.Ask(method, link)).StatusCode);
            }

            // It is no key, and opens no other kind of secret address.
            var token = link.Split('/')[^1];
            using var asKey = app.WithKey(token);
            Assert.All(
                await Task.WhenAll(new[] { "/v1/vehicles", "/v1/due", "/v1/members" }.Select(path =>
                    asKey.GetAsync(path, Stop))),
                refused => Assert.Equal(401, (int)refused.StatusCode));
            Assert.Equal(404, (int)(await app.Anonymous.GetAsync($"/v1/feeds/{token}.json", Stop)).StatusCode);
            Assert.Equal(404, (int)(await app.Anonymous.GetAsync($"/unsubscribe/{token}", Stop)).StatusCode);
        }
    }

    [Fact]
    public async Task A_link_that_is_not_whole_opens_nothing()
    {
        await using var app = await GivenAsync(DatabaseKind.Sqlite);
        await NightAsync(app);
        using var mail = await MailAsync(app, 2);
        var link = Links(mail.TextBody)[0];
        var start = link.Length - 86;
        var wrong = Enumerable.Range(start, 86).Select(i => link[..i] + (link[i] == 'A' ? 'B' : 'A') + link[(i + 1)..])
            .Concat([link[..^1], link
                + "A", link
                + "=", link[..start], link[..start]
                + new string('A', 86), link.ToUpperInvariant()
                    .Replace("/AGEWATCH/LOOK", "/agewatch/look", StringComparison.Ordinal)]);

        foreach (var path in wrong.Where(path => !path.EndsWith('/')))
        {
            var reply = await app.Anonymous.GetAsync(path, Stop);
            Assert.Equal(404, (int)reply.StatusCode);
            Assert.Contains(
                "This link is not complete", await reply.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
            Assert.Equal(
                "no-store",
                Assert.Single(reply.Headers.GetValues("Cache-Control").SelectMany(v => v.Split(", ")), v =>
                    v == "no-store"));
        }

        // Base64 of 64 bytes leaves four bits of the last character open: written otherwise it is another text of the
        // same token.
        const string Alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
        var last = Alphabet.IndexOf(link[^1], StringComparison.Ordinal);
        Assert.Equal(404, (int)(await app.Anonymous.GetAsync(link[..^1] + Alphabet[last ^ 1], Stop)).StatusCode);
    }

    /// <summary>30 days after 2026-11-26, by hand: four days are left of November, so 2026-12-26.</summary>
    [Theory, OnBothDatabases]
    public async Task A_link_ends_on_its_day_and_whenever_its_reader_loses_what_it_shows(DatabaseKind kind)
    {
        await using var app = await GivenAsync(kind);
        await NightAsync(app);
        var digests = await LinksOfAllAsync(app);
        var (member1, member2, member3) = (
            await MemberAsync(app, 1), await MemberAsync(app, 2), await MemberAsync(app, 3));

        app.Clock.MoveTo("2026-12-26T23:59:59");
        await ExpectAsync(200, digests["member2@club.example Member"]);
        app.Clock.MoveTo("2026-12-27T00:00:00");
        await ExpectAsync(410, digests["member2@club.example Member"]);
        app.Clock.MoveTo("2026-11-27T12:00:00");

        // By the member: their own and nobody else's. By the officer: anyone's.
        using var second = await app.GivenKeyAsync("member", member2);
        await (await second.Ask(HttpMethod.Post, $"/v1/members/{member3}/revoke-links")).Problem(404, "not-found");
        await ExpectAsync(200, digests["member3@club.example Member"]);
        Assert.Equal(204, (int)(await second.Ask(HttpMethod.Post, $"/v1/members/{member2}/revoke-links")).StatusCode);
        await ExpectAsync(410, digests["member2@club.example Member"]);
        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Post, $"/v1/members/{member3}/revoke-links")).StatusCode);
        await ExpectAsync(410, digests["member3@club.example Member"]);
        Assert.Equal("2026-11-27T12:00:00Z", (await (await app.Officer.GetAsync($"/v1/members/{member3}", Stop)).Json())
            .Text("linksRevokedAt"));
        using var reader = await app.GivenKeyAsync("reader", member1);
        Assert.Equal(403, (int)(await reader.Ask(HttpMethod.Post, $"/v1/members/{member1}/revoke-links")).StatusCode);

        // An officer who is none any more keeps the links to their own car.
        await ExpectAsync(200, digests["member1@club.example Officer"]);
        await PatchAsync($"/v1/members/{member1}", """{"officer":false}""");
        await ExpectAsync(410, digests["member1@club.example Officer"]);
        await ExpectAsync(200, digests["member1@club.example Member"]);

        // The next digest brings new links; they die with the address, also when it comes back.
        app.Clock.MoveTo("2026-12-03T03:30:00");
        await app.MinuteAsync();
        digests = await LinksOfAllAsync(app, new(2026, 12, 3));
        await ExpectAsync(200, digests["member2@club.example Member"]);
        app.Clock.MoveTo("2026-12-03T12:00:00");
        await PatchAsync($"/v1/members/{member2}", """{"email":"new@club.example"}""");
        await ExpectAsync(410, digests["member2@club.example Member"]);
        await PatchAsync($"/v1/members/{member2}", """{"email":"member2@club.example"}""");
        await ExpectAsync(410, digests["member2@club.example Member"]);

        // Sold: the car's link opens nothing to who sold it, and their list no longer has it.
        var car3 = await CarAsync(app, 3);
        await PatchAsync($"/v1/vehicles/{car3}", $$"""{"memberId":"{{member1}}"}""");
        var links3 = digests["member3@club.example Member"];
        await ExpectAsync(410, links3[..1]);
        Assert.DoesNotContain("Car 3", await OpenAsync(app, links3[1]), StringComparison.Ordinal);

        Assert.Equal(
            204, (int)(await app.Officer.Ask(HttpMethod.Delete, $"/v1/members/{member3}", ifMatch: "*")).StatusCode);
        await ExpectAsync(410, links3);

        async Task PatchAsync(string path, string body) =>
            Assert.Equal(200, (int)(await app.Officer.Ask(HttpMethod.Patch, path, body, ifMatch: "*")).StatusCode);

        async Task ExpectAsync(int status, IEnumerable<string> links)
        {
            foreach (var link in links)
            {
                var reply = await app.Anonymous.GetAsync(link, Stop);
                var page = await reply.Content.ReadAsStringAsync(Stop);
                Assert.Equal(status, (int)reply.StatusCode);
                if (status == 410)
                {
                    Assert.Contains("Each new digest brings new links.", page, StringComparison.Ordinal);
                    Assert.DoesNotMatch(@"Car \d|Member \d|@club", page);
                }
            }
        }
    }

    /// <summary>Signed with the server's own secret, which nobody outside has: even so a club's link stays in its club,
    /// and a reader's with the reader's cars.</summary>
    [Theory, OnBothDatabases]
    public async Task No_link_reaches_another_vehicle_or_another_club(DatabaseKind kind)
    {
        await using var app = await GivenAsync(kind);
        await NightAsync(app);
        await using var db = app.Database.Open();
        var clubId = await app.Database.ClubIdAsync();
        var secret = await DigestLinks.SecretAsync(db, Stop);
        var digest = await db.Digests.AsNoTracking().SingleAsync(d => d.Recipient == "member2@club.example", Stop);
        Club other = new()
        {
            ClubId = Guid.CreateVersion7(),
            Name = "Other",
            TimeZone = "UTC",
            CreatedAt = DateTime.UnixEpoch
        };
        await using (var elsewhere = app.Database.Open(other.ClubId))
        {
            elsewhere.Add(other);
            await elsewhere.SaveChangesAsync(Stop);
        }

        Assert.Equal(200, await StatusAsync(clubId, digest.Id, await CarAsync(app, 2)));
        Assert.Equal(410, await StatusAsync(clubId, digest.Id, await CarAsync(app, 1)));
        Assert.Equal(410, await StatusAsync(clubId, digest.Id, Guid.CreateVersion7()));
        Assert.Equal(410, await StatusAsync(clubId, Guid.CreateVersion7(), null));
        Assert.Equal(410, await StatusAsync(other.ClubId, digest.Id, null));
        Assert.Equal(410, await StatusAsync(other.ClubId, digest.Id, await CarAsync(app, 2)));
        Assert.Equal(410, await StatusAsync(Guid.Empty, digest.Id, null));

        async Task<int> StatusAsync(Guid club, Guid digestId, Guid? vehicleId) =>
            (int)(await app.Anonymous.GetAsync(
                $"/look/{new DigestPageToken(club, digestId, vehicleId).Write(secret)}", Stop)).StatusCode;
    }

    /// <summary>Whoever has no key closes the links with the button of the page that stops the mail; so does a sheet
    /// that brings another address.</summary>
    [Theory, OnBothDatabases]
    public async Task Links_close_by_the_button_and_by_a_sheet(DatabaseKind kind)
    {
        await using var app = await GivenAsync(kind);
        await NightAsync(app);
        app.Clock.MoveTo("2026-11-26T12:00:00");
        using var mail = await MailAsync(app, 2);
        var stop = new Uri(mail.Headers[HeaderId.ListUnsubscribe]!.Trim('<', '>')).AbsolutePath;

        using var form = new FormUrlEncodedContent([new("Links", "Revoke")]);
        var page = await app.Anonymous.PostAsync(stop, form, Stop);
        Assert.Equal(200, (int)page.StatusCode);
        Assert.Contains("are closed", await page.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        Assert.Equal(410, (int)(await app.Anonymous.GetAsync(Links(mail.TextBody)[0], Stop)).StatusCode);
        await using (var db = app.Database.Open())
        {
            Assert.False(await db.Members.AnyAsync(m => m.UnsubscribedAt != null, Stop));
            await db.Members.Where(m => m.Name == "Member 3").ExecuteUpdateAsync(
                set => set.SetProperty(m => m.Reference, "M3")
                    .SetProperty(m => m.MailSuspendedAt, DateTime.UnixEpoch)
                    .SetProperty(m => m.MailSuspendedReason, "gone"), Stop);
        }

        using var third = await MailAsync(app, 3);
        Assert.Equal(200, (int)(await app.Anonymous.GetAsync(Links(third.TextBody)[0], Stop)).StatusCode);
        using var sheet = new StringContent(
            "record,reference,name,email\nmember,M3,Member 3,other@club.example\n", System.Text.Encoding.UTF8,
            "text/csv");
        Assert.Equal(200, (int)(await app.Officer.PostAsync("/v1/imports", sheet, Stop)).StatusCode);
        Assert.Equal(410, (int)(await app.Anonymous.GetAsync(Links(third.TextBody)[0], Stop)).StatusCode);
        await using var after = app.Database.Open();
        Assert.False(await after.Members.AnyAsync(m => m.MailSuspendedAt != null, Stop));
    }

    /// <summary>Three owners with a car each, the first of them an officer.</summary>
    private static async Task<TestApp> GivenAsync(DatabaseKind kind)
    {
        var app = await TestApp.StartAsync(kind, null, Idle, ("AGEWATCH_PUBLIC_URL", PublicUrl));
        await app.Database.GivenOwnersAsync(3, withOfficer: true);
        return app;
    }

    private static async Task GivenPersonalFactsAsync(TestApp app, Guid car)
    {
        Assert.Equal(200, (int)(await app.Officer.Ask(
            HttpMethod.Patch, $"/v1/vehicles/{car}", """{"registration":"canary 1","chassis":"canary-2","reference":"canary-3"}""", ifMatch: "*")).StatusCode);
        await using var db = app.Database.Open();
        var belt = await db.Components.Where(c => c.VehicleId == car && c.PartKind == "timing-belt")
            .Select(c => c.Id)
            .SingleAsync(Stop);
        await app.GivenAsync(
            $"/v1/components/{belt}/findings",
            new { on = "2026-11-01", grade = "watch", sign = "hairline cracks", foundBy = "canary 4" });
    }

    private static async Task NightAsync(TestApp app)
    {
        app.Clock.MoveTo("2026-11-26T03:30:00");
        Assert.Equal([FirstNight], await app.MinuteAsync());
    }

    private static async Task<string> OpenAsync(TestApp app, string link)
    {
        var reply = await app.Anonymous.GetAsync(link, Stop);
        Assert.Equal(200, (int)reply.StatusCode);
        return await reply.Content.ReadAsStringAsync(Stop);
    }

    private static async Task<MimeMessage> MailAsync(TestApp app, int member, DigestKind kind = DigestKind.Member)
    {
        await using var db = app.Database.Open();
        var bytes = await db.Digests.Where(d => d.Recipient == $"member{member}@club.example" && d.Kind == kind)
            .Select(d => d.Message)
            .SingleAsync(Stop);
        return await MimeMessage.LoadAsync(new MemoryStream(bytes), Stop);
    }

    private static async Task<Dictionary<string, List<string>>> LinksOfAllAsync(TestApp app, DateOnly? day = null)
    {
        await using var db = app.Database.Open();
        var digests = await db.Digests.AsNoTracking().Where(d => d.LocalDate == (day ?? FirstNight)).ToListAsync(Stop);
        return digests.ToDictionary(d => $"{d.Recipient} {d.Kind}", d =>
        {
            using var mail = MimeMessage.Load(new MemoryStream(d.Message), Stop);
            return Links(mail.TextBody);
        });
    }

    /// <summary>Paths of the links, each once, in the order of the mail.</summary>
    private static List<string> Links(string? body) =>
        [.. Link().Matches(body!).Select(match => new Uri(match.Value).AbsolutePath).Distinct()];

    private static async Task<string> FingerprintAsync(TestApp app)
    {
        await using var db = app.Database.Open();
        return string.Join(';', await db.Members.OrderBy(m => m.Id)
            .Select(m => $"{m.Id} {m.Version}")
            .ToListAsync(Stop))
            + string.Join(';', await db.Digests.OrderBy(d => d.Id)
                .Select(d => $"{d.Id} {d.Version} {d.State}")
                .ToListAsync(Stop))
            + string.Join(';', await db.DueStates.OrderBy(s => s.SubjectId)
                .Select(s => $"{s.SubjectId} {s.AsOf}")
                .ToListAsync(Stop))
            + await db.Events.CountAsync(Stop);
    }

    private static async Task<Guid> MemberAsync(TestApp app, int number)
    {
        await using var db = app.Database.Open();
        return await db.Members.Where(m => m.Name == $"Member {number}").Select(m => m.Id).SingleAsync(Stop);
    }

    private static async Task<Guid> CarAsync(TestApp app, int number)
    {
        await using var db = app.Database.Open();
        return await db.Vehicles.Where(v => v.Name == $"Car {number}").Select(v => v.Id).SingleAsync(Stop);
    }

    [GeneratedRegex(@"https://club\.example/agewatch/(?!unsubscribe)[^\s""<]+")]
    private static partial Regex Link();
}
