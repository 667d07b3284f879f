namespace AgeWatch.Server.Mail;

/// <summary>One message as stored.</summary>
/// <param name="MessageId">Without angle brackets.</param>
internal sealed record OutgoingMail(string Recipient, string MessageId, ReadOnlyMemory<byte> Message);

/// <summary>A way out for mail. One channel sends one message at a time; several channels send side by side.</summary>
internal interface IMailChannel : IAsyncDisposable
{
    /// <exception cref="OperationCanceledException"><paramref name="stop"/> was asked for; whether the message went is
    /// unknown.</exception>
    Task<MailOutcome> SendAsync(OutgoingMail mail, CancellationToken stop);
}
