using System.Net.Http.Headers;
using AgeWatch.Server.Metrics;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Metrics;

public sealed class MetricsTests
{
    private const string Key = "0123456789abcdef0123456789abcdef";

    private static readonly (string, string) WithKey = ("AGEWATCH_METRICS_KEY", Key);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task It_tells_what_waits_and_what_is_late(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle, WithKey);
        await app.Database.GivenOwnersAsync(3);
        var before = await ReadAsync(app);
        Assert.Equal(
            (0, 0, 0),
            (
                Value(before, "agewatch_outbox_waiting", "mail"),
                Value(before, "agewatch_outbox_oldest_seconds", "mail"), Value(before, "agewatch_nights_late")));

        app.Clock.MoveTo("2026-11-26T05:30:01");
        Assert.Equal(1, Value(await ReadAsync(app), "agewatch_nights_late"));
        await app.MinuteAsync();
        app.Clock.Advance(TimeSpan.FromSeconds(90));

        var after = await ReadAsync(app);
        Assert.Equal(0, Value(after, "agewatch_nights_late"));
        Assert.Equal(3, Value(after, "agewatch_outbox_waiting", "mail"));
        Assert.Equal(90, Value(after, "agewatch_outbox_oldest_seconds", "mail"));
        Assert.Equal(90, Value(after, "agewatch_outbox_due_seconds", "mail"));
        Assert.Equal(0, Value(after, "agewatch_outbox_waiting", "webhooks"));
        Assert.Equal(0, Value(after, "agewatch_workers_alive"));
    }

    [Fact]
    public async Task It_counts_requests_by_route_and_names_nobody()
    {
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, null, Idle, WithKey, ("AGEWATCH_CLUB", "Old Iron Club"));
        await app.Database.GivenOwnersAsync(1);
        var vehicle = await app.GivenVehicleAsync();
        await app.Officer.Ask(HttpMethod.Get, $"/v1/vehicles/{vehicle}");
        var feed = await (await app.Officer.Ask(HttpMethod.Post, "/v1/feeds", """{"name":"Garage wall"}""")).Json();
        var address = new Uri(feed.GetProperty("calendar").GetString()!);
        Assert.Equal(200, (int)(await app.Anonymous.GetAsync(address, Stop)).StatusCode);
        await app.Anonymous.GetAsync($"/nowhere/{Guid.NewGuid()}", Stop);

        var text = await TextAsync(app);
        var requests = PrometheusReader.Read(text)
            .Single(family => family.Name == "http_server_request_duration_seconds");
        Assert.Equal("histogram", requests.Type);
        var route = requests.Samples.Where(s => s.Labels.GetValueOrDefault("http_route") == "/v1/vehicles/{id:guid}"
            && s.Name.EndsWith("_count", StringComparison.Ordinal)).ToList();
        Assert.Contains(route, s =>
            s.Labels["http_request_method"] == "GET" && s.Labels["http_response_status_code"] == "200" && s.Value >= 1);
        foreach (var secret in new[] { "Old Iron", "Member 1", "club.example", "Car 1", "Test car", "Garage wall",
        vehicle.ToString(), "nowhere", address.Segments[^1].Split('.')[0], app.Key, Key })
        {
            Assert.DoesNotContain(secret, text, StringComparison.OrdinalIgnoreCase);
        }
    }

    /// <summary>The figures are of all clubs, so no club's key opens them.</summary>
    [Fact]
    public async Task Only_the_operator_s_key_opens_it_and_without_one_it_is_not_there()
    {
        await using var open = await TestApp.StartAsync(DatabaseKind.Sqlite, null, Idle, WithKey);
        foreach (var wrong in new[] { open.Anonymous, open.Officer, open.WithKey(Key + "0"), open.WithKey("") })
        {
            var refused = await wrong.GetAsync("/metrics", Stop);
            await refused.Problem(401, "unauthenticated");
            Assert.Equal("Bearer", Assert.Single(refused.Headers.WwwAuthenticate).Scheme);
        }

        await using var shut = await TestApp.StartAsync(DatabaseKind.Sqlite, null, Idle);
        await (await shut.WithKey(Key).GetAsync("/metrics", Stop)).Problem(404, "not-found");
        await (await shut.Officer.GetAsync("/metrics", Stop)).Problem(404, "not-found");
    }

    /// <summary>
    /// OpenTelemetry specification, "Prometheus and OpenMetrics Compatibility": units become words, what stands in
    /// braces is dropped, a monotonic sum ends in _total, other characters become one underscore.
    /// </summary>
    [Theory]
    [InlineData("http.server.request.duration", "s", false, "http_server_request_duration_seconds")]
    [InlineData("dotnet.gc.heap.total_allocated", "By", true, "dotnet_gc_heap_total_allocated_bytes_total")]
    [InlineData("agewatch.mails", "{try}", true, "agewatch_mails_total")]
    [InlineData("room.seconds", "s", false, "room_seconds")]
    [InlineData("jobs_total", "", true, "jobs_total")]
    [InlineData("a..b--c", "1", false, "a_b_c")]
    [InlineData("2nd", "", false, "_2nd")]
    public void A_name_is_made_as_specified(string instrument, string unit, bool isTotal, string expected) =>
        Assert.Equal(expected, PrometheusText.NameOf(instrument, unit, isTotal));

    /// <summary>Prometheus documentation, "Exposition formats": the file whose name and error need every escape there
    /// is.</summary>
    [Fact]
    public void Escapes_are_those_of_the_format()
    {
        const string Line = """msdos_file_access_time_seconds{path="C:\\DIR\\FILE.TXT",error="Cannot find file:\n\"FILE.TXT\""} 1.458255915e9""";
        const string Path = @"C:\DIR\FILE.TXT", Error = "Cannot find file:\n\"FILE.TXT\"";

        Assert.StartsWith(
            $"msdos_file_access_time_seconds{{path=\"{PrometheusText.EscapeLabel(Path)}\",error=\"{PrometheusText.EscapeLabel(Error)}\"}}",
            Line, StringComparison.Ordinal);
        var sample = Assert.Single(Assert.Single(PrometheusReader.Read(Line + "\n")).Samples);
        Assert.Equal((Path, Error, 1458255915d), (sample.Labels["path"], sample.Labels["error"], sample.Value));
        Assert.Equal(
            ["+Inf", "-Inf", "NaN", "0.1"],
            new[] { double.PositiveInfinity, double.NegativeInfinity, double.NaN, 0.1 }.Select(PrometheusText.Number));
    }

    private static async Task<IReadOnlyList<Family>> ReadAsync(TestApp app) =>
        PrometheusReader.Read(await TextAsync(app));

    private static async Task<string> TextAsync(TestApp app)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, "/metrics");
        request.Headers.Authorization = new("Bearer", Key);
        var reply = await app.Anonymous.SendAsync(request, Stop);
        Assert.Equal(200, (int)reply.StatusCode);
        Assert.Equal(
            MediaTypeHeaderValue.Parse("text/plain; version=0.0.4; charset=utf-8"), reply.Content.Headers.ContentType);
        return await reply.Content.ReadAsStringAsync(Stop);
    }

    private static double Value(IEnumerable<Family> families, string name, string? outbox = null) =>
        families.Single(family => family.Name == name)
            .Samples.Single(sample => outbox is null || sample.Labels["outbox"] == outbox)
            .Value;
}
