using System.Globalization;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Http;

public sealed class PageOnSqliteTests(SqliteHttp app) : PageTests(app), IClassFixture<SqliteHttp>;

public sealed class PageOnPostgresTests(PostgresHttp app) : PageTests(app), IClassFixture<PostgresHttp>;

/// <summary>Lists: keyset pages, their limits and their cursors (AIP-158 for the rules of limit and cursor).</summary>
public abstract class PageTests : IAsyncLifetime
{
    private readonly HttpFixture app;

    protected PageTests(HttpFixture app)
    {
        this.app = app;
        app.SkipWhenMissing();
    }

    private const int Count = 120;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => await app.InDatabase(async db =>
    {
        var club = await db.Clubs.SingleAsync(Stop);
        if (await db.Members.AnyAsync(Stop))
        {
            return;
        }

        // Many share a name, so that the id has to part them.
        db.AddRange(Enumerable.Range(0, Count).Select(i => new Member
        {
            ClubId = club.ClubId,
            Id = Guid.CreateVersion7(),
            Name = $"Member {i % 7} ä",
            DistanceUnit = i % 2 == 0 ? Core.DistanceUnit.Mile : Core.DistanceUnit.Kilometre,
            CreatedAt = new(2026, 1, 1, 0, 0, 0, DateTimeKind.Utc),
        }));
        await db.SaveChangesAsync(Stop);
    });

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(119)]
    [InlineData(120)]
    [InlineData(500)]
    public async Task A_walk_meets_each_item_once_and_in_order(int limit)
    {
        List<(string Name, string Id)> met = [];
        string? next = $"/v1/samples?limit={limit.ToString(CultureInfo.InvariantCulture)}";
        while (next is not null)
        {
            var response = await app.Officer.GetAsync(next, Stop);
            var page = await response.Json();
            met.AddRange(page.GetProperty("items").EnumerateArray().Select(item =>
                (item.GetProperty("name").GetString()!, item.GetProperty("id").GetString()!)));
            next = page.TryGetProperty("next", out var address) ? address.GetString() : null;
            Assert.Equal(next is null
                ? null
                : $"<{next}>; rel=\"next\"", response.Headers.TryGetValues("Link", out var link)
                ? link.Single()
                : null);
        }

        Assert.Equal(Count, met.Count);
        Assert.Equal(Count, met.Distinct().Count());
        Assert.Equal(met.OrderBy(item => item.Name, StringComparer.Ordinal)
            .ThenBy(item => item.Id, StringComparer.Ordinal), met);
    }

    [Theory]
    [InlineData("", 50)]
    [InlineData("?limit=0", 50)]
    [InlineData("?limit=3", 3)]
    [InlineData("?limit=501", 120)]
    [InlineData("?limit=1000000000000", 120)]
    public async Task The_limit_has_its_rules(string query, int items) =>
        Assert.Equal(items, (await (await app.Officer.GetAsync("/v1/samples" + query, Stop)).Json())
            .GetProperty("items")
            .GetArrayLength());

    [Fact]
    public async Task A_page_with_nothing_is_a_page()
    {
        var page = await (await app.Officer.GetAsync("/v1/samples?unit=mi&limit=500", Stop)).Json();
        Assert.Equal(60, page.GetProperty("items").GetArrayLength());
        Assert.False(page.TryGetProperty("next", out _));
    }

    [Fact]
    public async Task Items_that_come_and_go_between_pages_disturb_no_other()
    {
        var before = await Ids("/v1/samples?limit=500");
        var first = await (await app.Officer.GetAsync("/v1/samples?limit=60", Stop)).Json();
        var next = first.GetProperty("next").GetString()!;

        // One in front of the place, one behind it; and the very item the place stands on goes.
        var atPlace = first.GetProperty("items")[59].GetProperty("id").GetGuid();
        List<Guid> added = [];
        foreach (var name in new[] { "AAA", "ZZZ" })
        {
            var made = await app.Officer.Ask(HttpMethod.Post, "/v1/samples", $$"""{ "name": "{{name}}", "unit": "km" }""");
            added.Add((await made.Json()).GetProperty("id").GetGuid());
        }

        await app.InDatabase(db => db.Members.Where(member => member.Id == atPlace).ExecuteDeleteAsync(Stop));
        var rest = await Ids(next.Replace("limit=60", "limit=500", StringComparison.Ordinal));

        Assert.Equal([.. before.Skip(60), added[1]], rest);
        await app.InDatabase(db => db.Members.ExecuteDeleteAsync(Stop));
    }

    [Fact]
    public async Task A_cursor_is_good_only_for_its_list_and_filters()
    {
        var next = (await (await app.Officer.GetAsync("/v1/samples?limit=5&unit=mi", Stop)).Json())
            .GetProperty("next")
            .GetString()!;
        var cursor = new Uri(next).Query.Split("cursor=")[1];

        // The seal is random: whatever it begins with, this begins otherwise.
        var tampered = (cursor[0] == 'B' ? 'C' : 'B') + cursor[1..];

        Assert.Equal(200, (int)(await app.Officer.GetAsync(next, Stop)).StatusCode);
        Assert.Equal(
            200, (int)(await app.Officer.GetAsync($"/v1/samples?unit=mi&limit=2&cursor={cursor}", Stop)).StatusCode);
        foreach (var wrong in new[]
        {
            $"/v1/samples?limit=5&cursor={cursor}",
            $"/v1/samples?limit=5&unit=km&cursor={cursor}",
            $"/v1/samples?limit=5&unit=mi&cursor={cursor}A",
            $"/v1/samples?limit=5&unit=mi&cursor={tampered}",
            $"/v1/samples?limit=5&unit=mi&cursor={cursor[..^4]}",
            $"/v1/samples?limit=5&unit=mi&cursor={cursor}&cursor={cursor}",
            "/v1/samples?limit=5&unit=mi&cursor=",
        })
        {
            var problem = await (await app.Officer.GetAsync(wrong, Stop)).Problem(400, "invalid-parameter");
            Assert.Contains(("cursor", "not-valid"), problem.Errors());
        }
    }

    private async Task<List<Guid>> Ids(string address) =>
        [.. (await (await app.Officer.GetAsync(address, Stop)).Json()).GetProperty("items").EnumerateArray()
            .Select(item => item.GetProperty("id").GetGuid())];
}
