using MimeKit;

namespace AgeWatch.Server.Mail;

/// <summary>Everything about a digest's mail that is not its text.</summary>
/// <param name="MessageId">Without angle brackets; see <see cref="MessageIds"/>.</param>
/// <param name="Date">Fixed when the digest is rendered and the same at every try.</param>
/// <param name="ListName">The club's name.</param>
/// <param name="ListId">A dotted name in a domain we own (RFC 2919), without angle brackets.</param>
/// <param name="UnsubscribeUrl">One-click address; only https is announced (RFC 8058), anything else is left
/// out.</param>
internal sealed record DigestEnvelope(
    MailboxAddress From,
    MailboxAddress To,
    string Subject,
    string MessageId,
    DateTimeOffset Date,
    string ListName,
    string ListId,
    MailboxAddress? ReplyTo = null,
    Uri? UnsubscribeUrl = null);
