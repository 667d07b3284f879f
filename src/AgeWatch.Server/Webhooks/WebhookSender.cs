using System.Globalization;
using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;

namespace AgeWatch.Server.Webhooks;

internal delegate Task<IPAddress[]> ResolveHost(string host, CancellationToken stop);

/// <summary>Sends one signed event to an address that somebody else chose.</summary>
internal sealed class WebhookSender : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    private readonly AddressPolicy _policy;
    private readonly ResolveHost _resolve;
    private readonly TimeProvider _clock;
    private readonly HttpClient _http;

    public WebhookSender(AddressPolicy policy, TimeProvider clock, ResolveHost? resolve = null)
    {
        _policy = policy;
        _clock = clock;
        _resolve = resolve ?? Dns.GetHostAddressesAsync;
        _http = new HttpClient(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseProxy = false,
            UseCookies = false,
            ConnectCallback = ConnectAsync,
            ConnectTimeout = TimeSpan.FromSeconds(10),
            MaxResponseHeadersLength = 16,
            MaxResponseDrainSize = 0,

            // A name may move; an address once allowed is not trusted for long.
            PooledConnectionLifetime = TimeSpan.FromMinutes(1),
        })
        {
            Timeout = Timeout.InfiniteTimeSpan,
        };
    }

    public async Task<WebhookOutcome> SendAsync(
        Uri url, string messageId, ReadOnlyMemory<byte> body, IEnumerable<string> secrets, CancellationToken stop)
    {
        using var patience = new CancellationTokenSource(Patience, _clock);
        using var both = CancellationTokenSource.CreateLinkedTokenSource(stop, patience.Token);
        try
        {
            using var request = Compose(url, messageId, body, secrets);
            using var response = await _http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, both.Token);
            return Judge(response);
        }
        catch (HttpRequestException refused) when (refused.GetBaseException() is AddressRefusedException)
        {
            return new WebhookOutcome.Failed(null, "The address leads to a network that webhooks may not reach.");
        }
        catch (Exception error) when (error is HttpRequestException or IOException
            || (error is OperationCanceledException && !stop.IsCancellationRequested))
        {
            return new WebhookOutcome.Failed(null, "The receiver could not be reached or did not answer in time.");
        }
    }

    public void Dispose() => _http.Dispose();

    private HttpRequestMessage Compose(
        Uri url, string messageId, ReadOnlyMemory<byte> body, IEnumerable<string> secrets)
    {
        var now = _clock.GetUtcNow();
        var content = new ReadOnlyMemoryContent(body);
        content.Headers.ContentType = new MediaTypeHeaderValue("application/json", "utf-8");
        var request = new HttpRequestMessage(HttpMethod.Post, url) { Content = content };
        request.Headers.Add("webhook-id", messageId);
        request.Headers.Add("webhook-timestamp", now.ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture));
        request.Headers.Add("webhook-signature", WebhookSignature.Sign(messageId, now, body.Span, secrets));
        request.Headers.UserAgent.Add(new ProductInfoHeaderValue("AgeWatch", "1"));
        return request;
    }

    private WebhookOutcome Judge(HttpResponseMessage response)
    {
        var status = (int)response.StatusCode;
        return status switch
        {
            >= 200 and < 300 => new WebhookOutcome.Accepted(status),
            410 => new WebhookOutcome.Gone(),
            >= 300 and < 400 =>
                new WebhookOutcome.Failed(status, "The receiver answered with a redirect, which is never followed."),
            _ => new WebhookOutcome.Failed(
                status, string.Create(CultureInfo.InvariantCulture, $"The receiver answered {status}."),
                RetryAfter(response)),
        };
    }

    private TimeSpan? RetryAfter(HttpResponseMessage response) => response.Headers.RetryAfter switch
    {
        { Delta: { } delta } => delta,
        { Date: { } date } => date - _clock.GetUtcNow(),
        _ => null,
    };

    private async ValueTask<Stream> ConnectAsync(SocketsHttpConnectionContext context, CancellationToken stop)
    {
        var url = context.InitialRequestMessage.RequestUri!;
        var addresses = await _resolve(context.DnsEndPoint.Host, stop);

        // One forbidden address among several is how a name is made to rebind, so it spoils them all.
        if (addresses.Length == 0 || !addresses.All(_policy.Allows)
            || (WebhookUrl.OpenInternetObjection(url) is not null && !addresses.All(_policy.IsOpenedByOperator)))
        {
            throw new AddressRefusedException();
        }

        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            await socket.ConnectAsync(addresses, context.DnsEndPoint.Port, stop);
            return new NetworkStream(socket, ownsSocket: true);
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }

    private sealed class AddressRefusedException() : IOException("The address is not allowed.");
}
