using System.Net;
using System.Text;
using AgeWatch.Server.Webhooks;
using Microsoft.Extensions.Time.Testing;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class WebhookSenderTests
{
    private static readonly DateTimeOffset Now = new(2026, 11, 25, 3, 30, 0, TimeSpan.Zero);
    private static readonly string Secret = WebhookSecret.Make();
    private static readonly byte[] Body = Encoding.UTF8.GetBytes("""{"type":"due.changed","data":{"note":"ä"}}""");
    private static readonly AddressPolicy Closed = new([]);
    private static readonly AddressPolicy LoopbackOpen = new([IPNetwork.Parse("127.0.0.0/8")]);

    /// <summary>Vector of the Standard Webhooks reference libraries (standard-webhooks/sign).</summary>
    [Fact]
    public void The_published_signature_comes_out()
    {
        foreach (var vector in DeliveryVectors.Cases("standard-webhooks/sign"))
        {
            var signature = WebhookSignature.Sign(
                vector.Text("webhook-id")!,
                DateTimeOffset.FromUnixTimeSeconds(vector.GetProperty("webhook-timestamp").GetInt64()),
                Encoding.UTF8.GetBytes(vector.Text("body")!),
                [vector.Text("secret")!]);

            Assert.Equal(vector.Text("webhook-signature"), signature);
        }
    }

    [Fact]
    public void A_secret_is_random_and_of_the_right_form()
    {
        var secret = WebhookSecret.Make();

        Assert.StartsWith("whsec_", secret, StringComparison.Ordinal);
        Assert.Equal(32, WebhookSecret.KeyOf(secret).Length);
        Assert.NotEqual(secret, WebhookSecret.Make());
        Assert.Equal(WebhookSecret.KeyOf(secret), WebhookSecret.KeyOf(secret["whsec_".Length..]));
    }

    [Theory]
    [InlineData("")]
    [InlineData("whsec_")]
    [InlineData("whsec_c2hvcnQ=")]
    [InlineData("whsec_***")]
    public void An_empty_or_short_secret_is_refused(string secret) =>
        Assert.Throws<FormatException>(() => WebhookSecret.KeyOf(secret));

    [Fact]
    public async Task A_receiver_can_verify_what_it_gets()
    {
        await using var receiver = new WebhookReceiver();

        var outcome = await SendAsync(receiver.Url, secrets: [Secret]);

        Assert.Equal(204, Assert.IsType<WebhookOutcome.Accepted>(outcome).Status);
        var hook = Assert.Single(receiver.Received);
        Assert.Equal("POST /hook HTTP/1.1", hook.RequestLine);
        Assert.Equal(Body, hook.Body);
        Assert.Equal("msg_1", hook.Headers["webhook-id"]);
        Assert.Equal("application/json; charset=utf-8", hook.Headers["content-type"]);
        Assert.True(hook.Verifies(Secret, Now));
        Assert.True(hook.Verifies(Secret, Now.AddSeconds(300)));
        Assert.False(hook.Verifies(Secret, Now.AddSeconds(301)));
        Assert.False(hook.Verifies(Secret, Now.AddSeconds(-301)));
        Assert.False(hook.Verifies(WebhookSecret.Make(), Now));
    }

    [Fact]
    public async Task During_a_rotation_either_secret_verifies()
    {
        await using var receiver = new WebhookReceiver();
        var next = WebhookSecret.Make();

        await SendAsync(receiver.Url, secrets: [next, Secret]);

        var hook = Assert.Single(receiver.Received);
        Assert.True(hook.Verifies(Secret, Now));
        Assert.True(hook.Verifies(next, Now));
    }

    /// <summary>Standard Webhooks 1.0: 2xx is success, 410 disables, 3xx is a failure and never followed.</summary>
    [Theory]
    [InlineData("200 OK", "Accepted")]
    [InlineData("202 Accepted", "Accepted")]
    [InlineData("301 Moved Permanently", "Failed")]
    [InlineData("307 Temporary Redirect", "Failed")]
    [InlineData("400 Bad Request", "Failed")]
    [InlineData("410 Gone", "Gone")]
    [InlineData("429 Too Many Requests", "Failed")]
    [InlineData("502 Bad Gateway", "Failed")]
    public async Task The_answer_is_judged_by_its_status(string status, string outcome)
    {
        await using var canary = new WebhookReceiver();
        await using var receiver = new WebhookReceiver
        {
            Answer = WebhookReceiver.Plain(
            status, $"Location: {canary.Url}")
        };

        Assert.Equal(outcome, (await SendAsync(receiver.Url)).GetType().Name);
        Assert.Equal(0, canary.Connections);
    }

    /// <summary>RFC 9110 10.2.3: Retry-After is seconds or an HTTP date.</summary>
    [Theory]
    [InlineData("120", 120)]
    [InlineData("Wed, 25 Nov 2026 03:40:00 GMT", 600)]
    [InlineData("soon", null)]
    public async Task A_receivers_wish_to_wait_is_heard(string value, int? seconds)
    {
        await using var receiver = new WebhookReceiver
        {
            Answer = WebhookReceiver.Plain(
            "429 Too Many Requests", $"Retry-After: {value}")
        };

        var failed = Assert.IsType<WebhookOutcome.Failed>(await SendAsync(receiver.Url));

        Assert.Equal(seconds, failed.RetryAfter?.TotalSeconds);
        Assert.Equal(429, failed.Status);
    }

    /// <summary>OWASP SSRF sheet, IANA special-purpose registries (ssrf/blocklist): first and last address of every
    /// range.</summary>
    [Fact]
    public void No_special_address_is_reachable()
    {
        foreach (var range in DeliveryVectors.Cases("ssrf/blocklist").Select(c => c.Text("cidr")).OfType<string>())
        {
            var network = IPNetwork.Parse(range.Split(' ')[0]);
            var bytes = network.BaseAddress.GetAddressBytes();
            for (var bit = network.PrefixLength; bit < bytes.Length * 8; bit++)
            {
                bytes[bit / 8] |= (byte)(0x80 >> (bit % 8));
            }

            // The mapped range is not a network of its own: it is judged by the IPv4 address inside.
            if (!range.StartsWith("::ffff:0:0", StringComparison.Ordinal))
            {
                Assert.False(Closed.Allows(network.BaseAddress), range);
                Assert.False(Closed.Allows(new IPAddress(bytes)), range);
            }
        }
    }

    [Theory]
    [InlineData("::ffff:169.254.169.254")]
    [InlineData("::ffff:10.0.0.1")]
    [InlineData("::127.0.0.1")]
    [InlineData("64:ff9b::a9fe:a9fe")]
    [InlineData("2002:7f00:1::")]
    [InlineData("2001:0:4136:e378:8000:63bf:3fff:fdd2")]
    [InlineData("fe80::1%1")]
    public void Wrapped_and_scoped_addresses_are_not_reachable(string address) =>
        Assert.False(Closed.Allows(IPAddress.Parse(address)));

    [Theory]
    [InlineData("9.9.9.9")]
    [InlineData("::ffff:9.9.9.9")]
    [InlineData("2620:fe::9")]
    public void Ordinary_addresses_are_reachable(string address) =>
        Assert.True(Closed.Allows(IPAddress.Parse(address)));

    [Theory]
    [InlineData("169.254.169.254")]
    [InlineData("::ffff:169.254.169.254")]
    [InlineData("169.254.170.2")]
    [InlineData("100.100.100.200")]
    [InlineData("fd00:ec2::254")]
    public void An_operator_can_open_a_network_but_never_the_metadata_address(string metadata)
    {
        var wideOpen = new AddressPolicy([IPNetwork.Parse("0.0.0.0/0"), IPNetwork.Parse("::/0")]);

        Assert.True(wideOpen.Allows(IPAddress.Parse("192.168.1.20")));
        Assert.False(wideOpen.Allows(IPAddress.Parse(metadata)));
    }

    /// <summary>ssrf/uri-forms: the ways in which System.Uri spells the loopback address and its like.</summary>
    [Fact]
    public async Task Disguised_addresses_are_refused_at_registration_and_when_connecting()
    {
        using var sender = new WebhookSender(Closed, TimeProvider.System);
        foreach (var url in DeliveryVectors.Cases("ssrf/uri-forms").Select(c => c.Text("url")!))
        {
            Assert.NotNull(WebhookUrl.Objection(url, Closed));
            Assert.NotNull(WebhookUrl.Objection(url.Replace("http:", "https:", StringComparison.Ordinal), Closed));
            var outcome = await sender.SendAsync(
                new Uri(url.Replace("http:", "https:", StringComparison.Ordinal)), "msg_1", Body, [Secret],
                TestContext.Current.CancellationToken);
            Assert.Null(Assert.IsType<WebhookOutcome.Failed>(outcome).Status);
        }
    }

    [Theory]
    [InlineData("https://hooks.example.org/x?y=1", true)]
    [InlineData("https://hooks.example.org:443/", true)]
    [InlineData("http://hooks.example.org/", false)]
    [InlineData("https://hooks.example.org:8443/", false)]
    [InlineData("https://bob@hooks.example.org/", false)]
    [InlineData("https://hooks.example.org/#f", false)]
    [InlineData("ftp://hooks.example.org/", false)]
    [InlineData("hooks.example.org", false)]
    [InlineData("https://localhost/", false)]
    [InlineData("https://x.localhost/", false)]
    [InlineData("https://metadata.google.internal/", false)]
    [InlineData("https://metadata.amazonaws.com/", false)]
    public void A_webhook_speaks_https_to_a_public_host(string url, bool fine) =>
        Assert.Equal(fine, WebhookUrl.Objection(url, Closed) is null);

    [Theory]
    [InlineData("9.9.9.9,127.0.0.1")]
    [InlineData("127.0.0.1")]
    [InlineData("::1,9.9.9.9")]
    [InlineData("")]
    public async Task A_name_with_one_forbidden_address_is_not_called_at_all(string addresses)
    {
        await using var canary = new WebhookReceiver();
        using var sender = new WebhookSender(Closed, TimeProvider.System, Resolver(addresses));

        var outcome = await sender.SendAsync(
            new Uri("https://hooks.example.org/"), "msg_1", Body, [Secret], TestContext.Current.CancellationToken);

        Assert.IsType<WebhookOutcome.Failed>(outcome);
        Assert.Equal(0, canary.Connections);
    }

    [Fact]
    public async Task The_address_that_was_judged_is_the_one_that_is_called()
    {
        var asked = 0;
        using var sender = new WebhookSender(LoopbackOpen, TimeProvider.System, (_, _) =>
            Task.FromResult(new[] { IPAddress.Parse(Interlocked.Increment(ref asked) == 1
                ? "127.0.0.1"
                : "10.0.0.1") }));
        await using var receiver = new WebhookReceiver();

        var outcome = await sender.SendAsync(
            new Uri($"http://hooks.example.org:{receiver.Port}/"), "msg_1", Body, [Secret],
            TestContext.Current.CancellationToken);

        Assert.IsType<WebhookOutcome.Accepted>(outcome);
        Assert.Equal(1, asked);
    }

    [Fact]
    public async Task Plain_http_outside_the_operators_networks_is_never_spoken()
    {
        using var sender = new WebhookSender(LoopbackOpen, TimeProvider.System, Resolver("9.9.9.9"));

        var outcome = await sender.SendAsync(
            new Uri("http://hooks.example.org/"), "msg_1", Body, [Secret], TestContext.Current.CancellationToken);

        Assert.Contains("may not reach", Assert.IsType<WebhookOutcome.Failed>(outcome).Words, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_receiver_that_drips_is_cut_off()
    {
        var clock = new FakeTimeProvider(Now);
        await using var receiver = new WebhookReceiver
        {
            Answer = async (_, stream, stop) =>
            {
                await stream.WriteAsync("HTTP/1.1 200"u8.ToArray(), stop);
                clock.Advance(TimeSpan.FromSeconds(21));
                await Task.Delay(Timeout.Infinite, stop);
            },
        };
        using var sender = new WebhookSender(LoopbackOpen, clock);

        var outcome = await sender.SendAsync(
            receiver.Url, "msg_1", Body, [Secret], TestContext.Current.CancellationToken);

        Assert.Contains("in time", Assert.IsType<WebhookOutcome.Failed>(outcome).Words, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_endless_answer_is_not_read()
    {
        var written = 0L;
        await using var receiver = new WebhookReceiver
        {
            Answer = async (_, stream, stop) =>
            {
                await stream.WriteAsync("HTTP/1.1 200 OK\r\nContent-Length: 10000000000\r\n\r\n"u8.ToArray(), stop);
                var block = new byte[64 * 1024];
                while (true)
                {
                    await stream.WriteAsync(block, stop);
                    written += block.Length;
                }
            },
        };

        Assert.IsType<WebhookOutcome.Accepted>(await SendAsync(receiver.Url));
        await Task.Delay(200, TestContext.Current.CancellationToken);
        Assert.True(written < 50_000_000, $"{written} bytes were taken from the receiver");
    }

    [Fact]
    public async Task Nothing_tells_a_closed_port_from_a_rude_receiver()
    {
        int closedPort;
        await using (var gone = new WebhookReceiver())
        {
            closedPort = gone.Port;
        }

        await using var rude = new WebhookReceiver { Answer = (_, _, _) => Task.CompletedTask };

        Assert.Equal(await SendAsync(new Uri($"http://127.0.0.1:{closedPort}/")), await SendAsync(rude.Url));
    }

    private static async Task<WebhookOutcome> SendAsync(Uri url, string[]? secrets = null)
    {
        using var sender = new WebhookSender(LoopbackOpen, new FakeTimeProvider(Now));
        return await sender.SendAsync(url, "msg_1", Body, secrets ?? [Secret], TestContext.Current.CancellationToken);
    }

    private static ResolveHost Resolver(string addresses) => (_, _) =>
        Task.FromResult(addresses.Split(',', StringSplitOptions.RemoveEmptyEntries).Select(IPAddress.Parse).ToArray());
}
