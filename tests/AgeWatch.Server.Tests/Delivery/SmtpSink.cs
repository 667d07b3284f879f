using System.Collections.Concurrent;
using System.Net;
using System.Net.Security;
using System.Net.Sockets;
using System.Security.Cryptography.X509Certificates;
using System.Text;

namespace AgeWatch.Server.Tests.Delivery;

/// <summary>What the sink took, as it came over the wire.</summary>
/// <param name="Data">Dot-stuffing undone, without the closing dot line.</param>
public sealed record ReceivedMail(int Connection, string MailFrom, IReadOnlyList<string> Recipients, byte[] Data)
{
    public string Text => Encoding.UTF8.GetString(Data);
}

/// <summary>A mail server on a socket, small enough to see every byte and rude enough to test with.</summary>
public sealed class SmtpSink : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentQueue<ReceivedMail> _received = new();
    private readonly X509Certificate2? _certificate;
    private readonly Task _accepting;
    private int _connections;

    public SmtpSink(X509Certificate2? certificate = null)
    {
        _certificate = certificate;
        _listener.Start();
        _accepting = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    public int Connections => _connections;

    public IReadOnlyList<ReceivedMail> Received => [.. _received];

    public ConcurrentQueue<string> Commands { get; } = new();

    /// <summary>Told of every command and on which connection, before it is answered.</summary>
    public Action<int, string>? Heard { get; set; }

    /// <summary>Reply to a command line ("MAIL FROM:…"); null: the ordinary one.</summary>
    public Func<string, string?> Answer { get; set; } = _ => null;

    /// <summary>The same, and on which connection.</summary>
    public Func<int, string, string?> AnswerOn { get; set; } = (_, _) => null;

    /// <summary>Reply to a whole message; an empty reply drops the connection after taking it.</summary>
    public Func<ReceivedMail, string> AnswerToData { get; set; } = _ => "250 2.0.0 taken";

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
                client.NoDelay = true;
                talks.Add(TalkAsync(client, Interlocked.Increment(ref _connections)));
            }
        }
        catch (Exception e) when (e is OperationCanceledException or SocketException or ObjectDisposedException)
        {
            await Task.WhenAll(talks);
        }
    }

    private async Task TalkAsync(TcpClient client, int connection)
    {
        using (client)
        {
            try
            {
                Stream stream = client.GetStream();
                await ConverseAsync(stream, connection);
            }
            catch (Exception e) when (e is IOException or OperationCanceledException or ObjectDisposedException
                or System.Security.Authentication.AuthenticationException)
            {
                // The other side left, or the test is over.
            }
        }
    }

    private async Task ConverseAsync(Stream stream, int connection)
    {
        var from = "";
        List<string> recipients = [];
        await SayAsync(stream, "220 sink.example ESMTP");
        while (await ReadLineAsync(stream) is { } bytes)
        {
            var line = Encoding.UTF8.GetString(bytes);
            Commands.Enqueue(line);
            Heard?.Invoke(connection, line);
            if ((Answer(line) ?? AnswerOn(connection, line)) is { } scripted)
            {
                if (scripted.Length == 0)
                {
                    return;
                }

                await SayAsync(stream, scripted);
                if (scripted.StartsWith("421", StringComparison.Ordinal))
                {
                    return;
                }

                continue;
            }

            switch (line.Split([' ', ':'], 2)[0].ToUpperInvariant())
            {
                case "EHLO" or "HELO":
                    var startTls = _certificate is not null && stream is not SslStream ? "250-STARTTLS\r\n" : "";
                    await SayAsync(
                        stream,
                        $"250-sink.example\r\n{startTls}250-ENHANCEDSTATUSCODES\r\n250-PIPELINING\r\n250-AUTH PLAIN\r\n250 8BITMIME");
                    break;
                case "STARTTLS" when _certificate is not null:
                    await SayAsync(stream, "220 go ahead");
                    var tls = new SslStream(stream);
                    await tls.AuthenticateAsServerAsync(_certificate);
                    stream = tls;
                    break;
                case "AUTH":
                    await SayAsync(stream, "235 2.7.0 welcome");
                    break;
                case "MAIL":
                    (from, recipients) = (Between(line), []);
                    await SayAsync(stream, "250 2.1.0 ok");
                    break;
                case "RCPT":
                    recipients.Add(Between(line));
                    await SayAsync(stream, "250 2.1.5 ok");
                    break;
                case "DATA":
                    await SayAsync(stream, "354 go on");
                    var mail = new ReceivedMail(connection, from, recipients, await ReadDataAsync(stream));
                    _received.Enqueue(mail);
                    var reply = AnswerToData(mail);
                    if (reply.Length == 0)
                    {
                        return;
                    }

                    await SayAsync(stream, reply);
                    break;
                case "RSET" or "NOOP":
                    await SayAsync(stream, "250 2.0.0 ok");
                    break;
                case "QUIT":
                    await SayAsync(stream, "221 2.0.0 bye");
                    return;
                default:
                    await SayAsync(stream, "502 5.5.1 unknown");
                    break;
            }
        }
    }

    private async Task<byte[]> ReadDataAsync(Stream stream)
    {
        using var data = new MemoryStream();
        while (await ReadLineAsync(stream) is { } line && line is not [(byte)'.'])
        {
            data.Write(line is [(byte)'.', ..] ? line.AsSpan(1) : line);
            data.Write("\r\n"u8);
        }

        return data.ToArray();
    }

    private async Task<byte[]?> ReadLineAsync(Stream stream)
    {
        List<byte> line = [];
        var one = new byte[1];
        while (await stream.ReadAsync(one, _stop.Token) == 1)
        {
            line.Add(one[0]);
            if (line is [.., (byte)'\r', (byte)'\n'])
            {
                return [.. line[..^2]];
            }
        }

        return null;
    }

    private async Task SayAsync(Stream stream, string reply) =>
        await stream.WriteAsync(Encoding.UTF8.GetBytes(reply + "\r\n"), _stop.Token);

    private static string Between(string line) =>
        line[(line.IndexOf('<', StringComparison.Ordinal) + 1)..line.IndexOf('>', StringComparison.Ordinal)];
}
