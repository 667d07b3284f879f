using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Text;

namespace AgeWatch.Server.Tests.Delivery;

public sealed record ReceivedHook(string RequestLine, IReadOnlyDictionary<string, string> Headers, byte[] Body)
{
    /// <summary>
    /// The receiver's side of Standard Webhooks 1.0, written from its specification: headers present, timestamp a
    /// number within five minutes, any one "v1" signature of the list right.
    /// </summary>
    public bool Verifies(string secret, DateTimeOffset now)
    {
        if (!Headers.TryGetValue("webhook-id", out var id)
            || !Headers.TryGetValue("webhook-signature", out var signatures)
            || !Headers.TryGetValue("webhook-timestamp", out var stamp)
            || !long.TryParse(stamp, NumberStyles.None, CultureInfo.InvariantCulture, out var seconds)
            || Math.Abs(now.ToUnixTimeSeconds() - seconds) > 300)
        {
            return false;
        }

        var key = Convert.FromBase64String(secret.Replace("whsec_", "", StringComparison.Ordinal));
        using var hmac = new HMACSHA256(key);
        var right = "v1,"
            + Convert.ToBase64String(hmac.ComputeHash([.. Encoding.UTF8.GetBytes($"{id}.{stamp}."), .. Body]));
        return signatures.Split(' ').Contains(right);
    }
}

/// <summary>A web server on a socket that answers with whatever bytes the test wants.</summary>
public sealed class WebhookReceiver : IAsyncDisposable
{
    private readonly TcpListener _listener;
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentQueue<ReceivedHook> _received = new();
    private readonly Task _accepting;
    private int _connections;

    public WebhookReceiver(IPAddress? address = null)
    {
        _listener = new TcpListener(address ?? IPAddress.Loopback, 0);
        _listener.Start();
        _accepting = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    public Uri Url => new($"http://127.0.0.1:{Port}/hook");

    public int Connections => _connections;

    public IReadOnlyList<ReceivedHook> Received => [.. _received];

    /// <summary>The raw answer; it may take its time.</summary>
    public Func<ReceivedHook, Stream, CancellationToken, Task> Answer { get; set; } = Plain("204 No Content");

    public static Func<ReceivedHook, Stream, CancellationToken, Task> Plain(string status, params string[] headers) =>
        async (_, stream, stop) => await stream.WriteAsync(Encoding.ASCII.GetBytes(
            $"HTTP/1.1 {status}\r\nContent-Length: 0\r\nConnection: "
                + $"close\r\n{string.Concat(headers.Select(h => h + "\r\n"))}\r\n"),
            stop);

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Stop();
        await _accepting;
        _stop.Dispose();
    }

    private async Task AcceptAsync()
    {
        List<Task> talks = [];
        try
        {
            while (!_stop.IsCancellationRequested)
            {
                var client = await _listener.AcceptTcpClientAsync(_stop.Token);
                Interlocked.Increment(ref _connections);
                talks.Add(TalkAsync(client));
            }
        }
        catch (Exception e) when (e is OperationCanceledException or SocketException or ObjectDisposedException)
        {
            await Task.WhenAll(talks);
        }
    }

    private async Task TalkAsync(TcpClient client)
    {
        using (client)
        {
            try
            {
                await using var stream = client.GetStream();
                List<byte> head = [];
                var one = new byte[1];
                while (head is not [.., (byte)'\r', (byte)'\n', (byte)'\r', (byte)'\n'])
                {
                    if (await stream.ReadAsync(one, _stop.Token) == 0)
                    {
                        return;
                    }

                    head.Add(one[0]);
                }

                var lines = Encoding.ASCII.GetString([.. head]).TrimEnd().Split("\r\n");
                var headers = lines[1..]
                    .Select(line => line.Split(": ", 2))
                    .ToDictionary(h => h[0].ToLowerInvariant(), h => h[1]);
                var body = new byte[int.Parse(
                    headers.GetValueOrDefault("content-length", "0"), CultureInfo.InvariantCulture)];
                await stream.ReadExactlyAsync(body, _stop.Token);
                var hook = new ReceivedHook(lines[0], headers, body);
                _received.Enqueue(hook);
                await Answer(hook, stream, _stop.Token);
            }
            catch (Exception e) when (e is IOException or OperationCanceledException or ObjectDisposedException)
            {
                // The sender hung up, or the test is over.
            }
        }
    }
}
