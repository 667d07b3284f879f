using System.Net.Sockets;
using AgeWatch.Server.Kernel.Settings;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;

namespace AgeWatch.Server.Mail;

/// <summary>One connection to the mail server, opened when first needed and kept for the messages that
/// follow.</summary>
/// <param name="sender">Envelope sender: where the server reports what it could not deliver later.</param>
/// <param name="transcript">Hears the conversation; null: nobody.</param>
internal sealed class SmtpChannel(
    SmtpTarget target, string sender, TimeProvider clock, IProtocolLogger? transcript = null)
    : IMailChannel
{
    // RFC 5321 4.5.3.2.6: a client that gives up earlier on the final reply makes duplicates.
    private const int FinalReplyMilliseconds = 10 * 60 * 1000;
    private static readonly TimeSpan ConnectPatience = TimeSpan.FromSeconds(60);
    private static readonly TimeSpan IdleBeforeCheck = TimeSpan.FromSeconds(5);
    private static readonly FormatOptions Wire = MakeWireFormat();

    private SmtpClient? _client;
    private long _lastUsed;
    private bool _isOpening;

    public async Task<MailOutcome> SendAsync(OutgoingMail mail, CancellationToken stop)
    {
        using var message = Load(mail);
        try
        {
            var reused = _client is { IsConnected: true };
            try
            {
                return await HandOverAsync(message, mail.Recipient, stop);
            }
            catch (SmtpCommandException closing) when (closing.StatusCode == SmtpStatusCode.ServiceNotAvailable
                && reused)
            {
                // 421: the server has had enough of this connection, not of this message.
                Drop();
                return await HandOverAsync(message, mail.Recipient, stop);
            }
        }
        catch (SmtpCommandException refusal)
        {
            if (refusal.StatusCode == SmtpStatusCode.ServiceNotAvailable)
            {
                Drop();
            }

            return _isOpening
                ? new MailOutcome.NoServer(ServerWords.Clean(refusal.Message))
                : SmtpReplies.Judge(refusal);
        }
        catch (Exception error) when (!stop.IsCancellationRequested
            && error is IOException or SocketException or ProtocolException
            or AuthenticationException or SslHandshakeException or TimeoutException or OperationCanceledException
                or NotSupportedException)
        {
            Drop();
            var words = ServerWords.Clean(error is OperationCanceledException
                ? "The mail server did not answer in time."
                : error.Message);
            return _isOpening ? new MailOutcome.NoServer(words) : new MailOutcome.Retry(words);
        }
        catch
        {
            Drop();
            throw;
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_client is { IsConnected: true } client)
        {
            using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(5), clock);
            try
            {
                await client.DisconnectAsync(quit: true, patience.Token);
            }
            catch (Exception error) when (error is IOException or ProtocolException or CommandException
                or OperationCanceledException)
            {
                // The messages are accepted already; a goodbye that fails costs nothing.
            }
        }

        Drop();
    }

    private async Task<MailOutcome> HandOverAsync(MimeMessage message, string recipient, CancellationToken stop)
    {
        _isOpening = true;
        var client = await OpenAsync(stop);
        _isOpening = false;
        var reply = await client.SendAsync(
            Wire, message, new MailboxAddress("", sender), [new MailboxAddress("", recipient)], stop);
        _lastUsed = clock.GetTimestamp();
        return new MailOutcome.Accepted(ServerWords.Clean(reply));
    }

    private async Task<SmtpClient> OpenAsync(CancellationToken stop)
    {
        using var patience = new CancellationTokenSource(ConnectPatience, clock);
        using var both = CancellationTokenSource.CreateLinkedTokenSource(stop, patience.Token);
        if (_client is { IsConnected: true } open && await StillAnswersAsync(open, both.Token))
        {
            return open;
        }

        Drop();

        // Revocation lists are seldom reachable from where a mail relay is, and a mail that never leaves helps nobody.
        var client = transcript is null ? new SmtpClient() : new SmtpClient(transcript);
        client.CheckCertificateRevocation = false;
        client.Timeout = FinalReplyMilliseconds;
        _client = client;
        if (target.CaFile is { } caFile)
        {
            client.ServerCertificateValidationCallback = (_, certificate, chain, errors) =>
                PrivateAuthority.Vouches(caFile, certificate, chain, errors);
        }

        // Otherwise the end of each message waits for the server to acknowledge what came before, which it puts off by
        // 40 ms as long as it has nothing to say.
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            await socket.ConnectAsync(target.Host, target.Port, both.Token);
        }
        catch
        {
            socket.Dispose();
            throw;
        }

        await client.ConnectAsync(socket, target.Host, target.Port, target.Security switch
        {
            SmtpSecurity.None => SecureSocketOptions.None,
            SmtpSecurity.StartTls => SecureSocketOptions.StartTls,
            SmtpSecurity.Tls => SecureSocketOptions.SslOnConnect,
        }, both.Token);
        if (target.User is { } user)
        {
            await client.AuthenticateAsync(user, target.Password ?? "", both.Token);
        }

        return client;
    }

    private async Task<bool> StillAnswersAsync(SmtpClient client, CancellationToken stop)
    {
        if (clock.GetElapsedTime(_lastUsed) < IdleBeforeCheck)
        {
            return true;
        }

        try
        {
            await client.NoOpAsync(stop);
            return true;
        }
        catch (Exception error) when (error is IOException or ProtocolException or CommandException)
        {
            return false;
        }
    }

    private void Drop()
    {
        _client?.Dispose();
        _client = null;
    }

    private static MimeMessage Load(OutgoingMail mail)
    {
        var bytes = System.Runtime.InteropServices.MemoryMarshal.TryGetArray(mail.Message, out var segment)
            ? new MemoryStream(segment.Array!, segment.Offset, segment.Count, writable: false)
            : new MemoryStream(mail.Message.ToArray(), writable: false);
        return MimeMessage.Load(bytes, persistent: true);
    }

    private static FormatOptions MakeWireFormat()
    {
        var format = FormatOptions.Default.Clone();
        format.NewLineFormat = NewLineFormat.Dos;
        return format;
    }
}
