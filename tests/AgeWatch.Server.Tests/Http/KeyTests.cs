using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Storage.Clubs;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Routing;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Http;

public sealed class KeyOnSqliteTests(SqliteHttp app) : KeyTests(app), IClassFixture<SqliteHttp>;

public sealed class KeyOnPostgresTests(PostgresHttp app) : KeyTests(app), IClassFixture<PostgresHttp>;

public abstract class KeyTests
{
    private readonly HttpFixture app;

    protected KeyTests(HttpFixture app)
    {
        this.app = app;
        app.SkipWhenMissing();
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public void A_new_key_is_256_random_bits_behind_its_prefix()
    {
        var keys = Enumerable.Range(0, 100).Select(_ => KeyText.New()).ToList();

        Assert.All(keys, key => Assert.Matches("^agw_[0-9a-f]{64}$", key));
        Assert.Equal(100, keys.Distinct().Count());
        Assert.All(keys, key => Assert.Null(KeyText.WhyRefused(key)));
    }

    [Fact]
    public async Task The_first_key_opens_the_club()
    {
        Assert.Equal(200, (int)(await app.Officer.GetAsync("/v1/samples", Stop)).StatusCode);
        Assert.Equal(200, (int)(await app.WithKey("agw_" + app.Key[4..]).GetAsync("/v1/samples", Stop)).StatusCode);
    }

    [Fact]
    public async Task A_new_key_is_kept_by_no_cache()
    {
        var made = await app.Officer.Ask(HttpMethod.Post, "/v1/keys", """{ "name": "Script", "role": "reader" }""");

        Assert.Equal(201, (int)made.StatusCode);
        Assert.Equal("no-store", made.Headers.CacheControl?.ToString());
    }

    [Fact]
    public async Task The_database_holds_no_key() => await app.InDatabase(async db =>
    {
        var hash = await db.AccessHashes.SingleAsync(access => access.Hash == KeyText.HashOf(app.Key), Stop);
        var key = await db.Keys.SingleAsync(row => row.Id == hash.TargetId, Stop);

        Assert.Equal((KeyRole.Officer, app.Key[^4..]), (key.Role, key.LastFour));
    });

    [Fact]
    public async Task Unknown_revoked_and_expired_keys_get_the_same_answer()
    {
        var revoked = await GivenKey(KeyRole.Officer, key => key.RevokedAt = app.Clock.GetUtcNow().UtcDateTime);
        var expired = await GivenKey(KeyRole.Officer, key => key.ExpiresAt = app.Clock.GetUtcNow().UtcDateTime);
        var alive = await GivenKey(KeyRole.Officer, key =>
            key.ExpiresAt = app.Clock.GetUtcNow().UtcDateTime.AddSeconds(1));
        Assert.Equal(200, (int)(await app.WithKey(alive).GetAsync("/v1/samples", Stop)).StatusCode);

        List<string> answers = [];
        foreach (var key in new[] { KeyText.New(), "agw_short", "rubbish", revoked, expired })
        {
            var response = await app.WithKey(key).GetAsync("/v1/samples", Stop);
            var problem = await response.Problem(401, "unauthenticated");
            answers.Add($"{problem.GetProperty("detail")} {response.Headers.WwwAuthenticate}");
        }

        Assert.Single(answers.Distinct());
        Assert.Contains("error=\"invalid_token\"", answers[0]);
    }

    [Fact]
    public async Task A_revoked_key_is_dead_at_once()
    {
        var key = await GivenKey(KeyRole.Officer);
        using var client = app.WithKey(key);
        Assert.Equal(200, (int)(await client.GetAsync("/v1/samples", Stop)).StatusCode);

        await app.InDatabase(db => db.Keys.Where(row => row.LastFour == key.Substring(key.Length - 4))
            .ExecuteUpdateAsync(set => set.SetProperty(row => row.RevokedAt, app.Clock.GetUtcNow().UtcDateTime), Stop));

        Assert.Equal(401, (int)(await client.GetAsync("/v1/samples", Stop)).StatusCode);
    }

    [Theory]
    [InlineData("Basic {0}")]
    [InlineData("{0}")]
    [InlineData("Bearer")]
    [InlineData("Bearer {0}, Bearer {0}")]
    public async Task Only_one_bearer_key_is_a_key(string form)
    {
        HttpRequestMessage request = new(HttpMethod.Get, "/v1/samples");
        request.Headers.TryAddWithoutValidation(
            "Authorization", form.Replace("{0}", app.Key, StringComparison.Ordinal));

        await (await app.Anonymous.SendAsync(request, Stop)).Problem(401, "unauthenticated");
    }

    [Theory]
    [InlineData("bearer {0}")]
    [InlineData("BEARER  {0} ")]
    public async Task The_word_bearer_knows_no_case(string form)
    {
        HttpRequestMessage request = new(HttpMethod.Get, "/v1/samples");
        request.Headers.TryAddWithoutValidation(
            "Authorization", form.Replace("{0}", app.Key, StringComparison.Ordinal));

        Assert.Equal(200, (int)(await app.Anonymous.SendAsync(request, Stop)).StatusCode);
    }

    [Fact]
    public async Task A_role_reaches_as_far_as_its_right()
    {
        var reader = await GivenKey(KeyRole.Reader);

        Assert.Equal(200, (int)(await app.WithKey(reader).GetAsync("/v1/echo/computed", Stop)).StatusCode);
        await (await app.WithKey(reader).GetAsync("/v1/samples", Stop)).Problem(403, "forbidden");
    }

    [Fact]
    public async Task The_day_of_last_use_is_kept()
    {
        var key = await GivenKey(KeyRole.Reader);
        var hash = KeyText.HashOf(key);
        await app.WithKey(key).GetAsync("/v1/echo/computed", Stop);

        // Written after the answer has gone.
        DateOnly? day = null;
        for (var tries = 0; day is null && tries < 50; tries++)
        {
            await Task.Delay(20, Stop);
            await app.InDatabase(async db => day = await db.Keys
                .Where(row => db.AccessHashes.Any(access => access.Hash == hash && access.TargetId == row.Id))
                .Select(row => row.LastUsedOn).SingleAsync(Stop));
        }

        Assert.Equal(new(2026, 11, 25), day);
    }

    [Fact]
    public void Every_route_states_its_right()
    {
        var silent = app.Services.GetRequiredService<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
            .Where(route => route.Metadata.GetMetadata<IAllowAnonymous>() is null
                && route.Metadata.GetMetadata<IAuthorizeData>() is null)
            .Select(route => route.RoutePattern.RawText);

        Assert.Equal(["/v1/no-right"], silent);
    }

    [Fact]
    public void Every_change_asks_for_if_match()
    {
        var careless = app.Services.GetRequiredService<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
            .Where(route => route.Metadata.GetMetadata<HttpMethodMetadata>()
                ?.HttpMethods.Any(method => method is "PUT" or "PATCH" or "DELETE") == true)
            .Where(route => route.Metadata.GetMetadata<RequiresIfMatch>() is null)
            .Select(route => route.RoutePattern.RawText);

        Assert.Empty(careless);
    }

    private async Task<string> GivenKey(KeyRole role, Action<Key>? with = null)
    {
        var text = KeyText.New();
        await app.InDatabase(async db =>
        {
            var club = await db.Clubs.SingleAsync(Stop);
            Key key = new()
            {
                ClubId = club.ClubId,
                Id = Guid.CreateVersion7(),
                Role = role,
                Name = "Test",
                LastFour = text[^4..],
                CreatedAt = app.Clock.GetUtcNow().UtcDateTime,
            };
            with?.Invoke(key);
            db.AddRange(
                key,
                new AccessHash
                {
                    Hash = KeyText.HashOf(text),
                    Kind = AccessKind.Key,
                    ClubId = club.ClubId,
                    TargetId = key.Id
                });
            await db.SaveChangesAsync(Stop);
        });
        return text;
    }
}
