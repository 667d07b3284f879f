using System.Globalization;
using System.Text.RegularExpressions;
using MailKit.Net.Smtp;

namespace AgeWatch.Server.Mail;

/// <summary>What a mail server's refusal means for the message and for the address.</summary>
internal static partial class SmtpReplies
{
    public static MailOutcome Judge(SmtpCommandException refusal)
    {
        var words = ServerWords.Clean(string.Create(
            CultureInfo.InvariantCulture, $"{(int)refusal.StatusCode} {refusal.Message}"));
        return refusal.ErrorCode switch
        {
            // A refused sender is the operator's to mend; no member's digest is to die of it.
            SmtpErrorCode.SenderNotAccepted => new MailOutcome.NoServer(words),
            _ when (int)refusal.StatusCode < 500 => new MailOutcome.Retry(words),
            SmtpErrorCode.RecipientNotAccepted =>
                new MailOutcome.Refused(words, NamesNoMailbox(refusal)
                    ? RefusedFor.NoSuchAddress
                    : RefusedFor.Recipient),
            SmtpErrorCode.MessageNotAccepted => new MailOutcome.Refused(words, RefusedFor.Message),
            _ => new MailOutcome.Retry(words),
        };
    }

    /// <summary>RFC 3463 3.2 (from memory): X.1.1 bad mailbox, X.1.2 bad system, X.1.3 bad syntax, X.1.10 null
    /// MX.</summary>
    private static bool NamesNoMailbox(SmtpCommandException refusal) => EnhancedCode().Match(refusal.Message) switch
    {
        { Success: true } code => NamesNoMailbox(code.Value),
        _ => refusal.StatusCode is SmtpStatusCode.MailboxNameNotAllowed,
    };

    /// <param name="status">By RFC 3463, such as 5.1.1.</param>
    public static bool NamesNoMailbox(string status) => status is "5.1.1" or "5.1.2" or "5.1.3" or "5.1.10";

    [GeneratedRegex(@"^5\.\d{1,3}\.\d{1,3}\b", RegexOptions.CultureInvariant)]
    private static partial Regex EnhancedCode();
}
