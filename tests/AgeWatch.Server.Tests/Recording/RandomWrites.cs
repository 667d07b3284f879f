using System.Globalization;
using System.Net;
using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;

namespace AgeWatch.Server.Tests.Recording;

/// <summary>
/// Writes of every kind of fact, over HTTP, drawn at random but the same for the same seed. Days and places are drawn
/// without asking whether they fit, so that many a write is refused.
/// </summary>
internal sealed partial class RandomWrites(TestApp app, int seed)
{
    /// <summary>The club's today, as the clock of the tests has it.</summary>
    private static readonly DateOnly Today = new(2026, 11, 25);

    private readonly Random _random = new(seed);
    private readonly Dictionary<string, List<string>> _made = [];
    private int _count;

    /// <summary>Three cars with parts, tyres and work to repeat, and a spare.</summary>
    public async Task BeginAsync()
    {
        for (var i = 0; i < 3; i++)
        {
            var car = $"/v1/vehicles/{await app.GivenVehicleAsync($"{1970 + 10 * i}")}";
            Keep(Cars, car);
            foreach (var kind in (string[])["radiator-hose", "timing-belt", "tyre-road", "tyre-road"])
            {
                await MakeAsync(Parts, $"{car}/components", new { partKind = kind }, "/v1/components");
            }

            await MakeAsync(Tasks, $"{car}/service-tasks", new { partKind = "engine-oil" }, "/v1/service-tasks");
            var instruments = await app.Read($"{car}/instruments");
            Keep(Instruments, $"{car}/instruments/{instruments.Items()[0].Id()}");
        }

        await MakeAsync(Parts, "/v1/shelf", new { partKind = "radiator-hose" }, "/v1/components");
    }

    /// <summary>Every kind of write once, in a drawn order.</summary>
    public IEnumerable<(string What, Func<Task<HttpResponseMessage>> Send)> Round()
    {
        var deck = Writes().ToArray();
        _random.Shuffle(deck);
        return deck;
    }

    /// <summary>Sends what makes something, and keeps its address for the writes to come.</summary>
    private async Task<HttpResponseMessage> MakeAsync(string kind, string path, object body, string? at = null)
    {
        var response = await app.Post(path, body);
        if ((int)response.StatusCode == 201)
        {
            Keep(kind, at is null
                ? response.Headers.Location!.ToString()
                : $"{at}/{(await response.Json()).Id()}");
        }

        return response;
    }

    private async Task<HttpResponseMessage> RemoveAsync(string kind)
    {
        var path = Any(kind);
        var response = await app.Officer.Ask(HttpMethod.Delete, path, null, await TagAsync(path));
        if (response.IsSuccessStatusCode)
        {
            Forget(path);
            if (kind == Cars)
            {
                foreach (var other in _made[Parts].Concat(_made[Tasks]).ToList())
                {
                    if ((await app.Officer.Ask(HttpMethod.Get, other)).StatusCode == HttpStatusCode.NotFound)
                    {
                        Forget(other);
                    }
                }
            }
        }

        return response;
    }

    /// <summary>Withdraws or ends something; its record stays, but nothing is done to it any more.</summary>
    private async Task<HttpResponseMessage> EndAsync(string kind, string how)
    {
        var path = Any(kind);
        var response = await app.Post($"{path}/{how}", new { reason = "Another" });
        if (response.IsSuccessStatusCode)
        {
            Forget(path);
        }

        return response;
    }

    private async Task<HttpResponseMessage> ChangeAsync(string path, object change) =>
        await app.Officer.Ask(
            HttpMethod.Patch, path, JsonSerializer.Serialize(change, JsonSerializerOptions.Web), await TagAsync(path));

    private async Task<string> TagAsync(string path) =>
        (await app.Officer.Ask(HttpMethod.Get, path)).Headers.ETag?.ToString() ?? "\"0\"";

    // With what hangs on it.
    private void Forget(string path)
    {
        foreach (var some in _made.Values)
        {
            some.RemoveAll(other => other == path || other.StartsWith($"{path}/", StringComparison.Ordinal));
        }
    }

    private void Keep(string kind, string path)
    {
        if (!_made.TryGetValue(kind, out var some))
        {
            _made[kind] = some = [];
        }

        some.Add(path);
    }

    private string Any(string kind) => _made.GetValueOrDefault(kind) is { Count: > 0 } some
        ? some[_random.Next(some.Count)]
        : $"/v1/{kind.Replace(' ', '-')}/00000000-0000-0000-0000-000000000000";

    private static string IdOf(string path) => path.Split('/')[^1];

    private T Pick<T>(params ReadOnlySpan<T> from) => from[_random.Next(from.Length)];

    private bool OneIn(int count) => _random.Next(count) == 0;

    /// <summary>Mostly of the last years, seldom one that has not come yet.</summary>
    private string Day() => Text(Today.AddDays(OneIn(15) ? _random.Next(1, 300) : -_random.Next(0, 2500)));

    /// <summary>Moves must follow each other, so their days mostly do.</summary>
    private DateOnly NextDay() => Today.AddDays(-2000 + (_count += 4) + (OneIn(8) ? -500 : 0));

    private static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>About ten miles a day, and now and then something that cannot be.</summary>
    private decimal Shown(string day)
    {
        var days = DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture).DayNumber;
        return OneIn(6) ? _random.Next(0, 99_999) : 50_000 + (days - 737_000) * 10 + _random.Next(0, 300);
    }
}
