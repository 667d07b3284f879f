using System.Text.RegularExpressions;
using MimeKit;

namespace AgeWatch.Server.Mail;

/// <summary>What a mail server did with a message (RFC 3464 2.3.3).</summary>
internal enum ReportedAction
{
    Failed,
    Delayed,
    Delivered,
    Relayed,
    Expanded,
}

/// <summary>A delivery status notification (RFC 3464): what became of a message after a mail server had taken
/// it.</summary>
/// <param name="MessageId">Of the message that it is about, without angle brackets; null: it does not say.</param>
internal sealed record DeliveryReport(string? MessageId, IReadOnlyList<ReportedRecipient> Recipients)
{
    // The report, its parts and the message within: what goes deeper is no mail server's work.
    private const int DeepestPart = 8;

    private static readonly ParserOptions Options = new() { MaxMimeDepth = DeepestPart };

    /// <summary>Null when the message is no such report; never throws for odd mail.</summary>
    public static DeliveryReport? Read(ReadOnlyMemory<byte> mail, CancellationToken stop)
    {
        MimeMessage message;
        try
        {
            message = MimeMessage.Load(Options, new MemoryStream(WithoutEnvelope(mail).ToArray()), stop);
        }
        catch (FormatException)
        {
            return null;
        }

        using (message)
        {
            // Only the parts of the report itself: the message that came back may hold another report.
            if (message.Body is not Multipart report || !report.ContentType.IsMimeType("multipart", "report")
                || report.OfType<MessageDeliveryStatus>().FirstOrDefault() is not { } status)
            {
                return null;
            }

            // The first group is about the message, each further one about a recipient.
            return new(
                ReturnedId(report),
                [.. Groups(status).Skip(1).Select(ReportedRecipient.From).OfType<ReportedRecipient>()]);
        }
    }

    private static HeaderListCollection Groups(MessageDeliveryStatus status)
    {
        try
        {
            return status.StatusGroups;
        }
        catch (FormatException)
        {
            return [];
        }
    }

    private static string? ReturnedId(Multipart report)
    {
        foreach (var part in report)
        {
            if (part is MessagePart { Message.MessageId: { } whole })
            {
                return whole;
            }

            // The headers alone, which is what most servers return.
            if (part is MimePart { Content: not null } headers
                && headers.ContentType.IsMimeType("text", "rfc822-headers"))
            {
                using var bytes = new MemoryStream();
                headers.Content.DecodeTo(bytes);
                bytes.Write("\r\n\r\n"u8);
                bytes.Position = 0;
                using var returned = MimeMessage.Load(Options, bytes);
                if (returned.MessageId is { } id)
                {
                    return id;
                }
            }
        }

        return null;
    }

    /// <summary>A pipe may put the mailbox format's own first line before the message.</summary>
    private static ReadOnlyMemory<byte> WithoutEnvelope(ReadOnlyMemory<byte> mail) =>
        mail.Span.StartsWith("From "u8) && mail.Span.IndexOf((byte)'\n') is > 0 and var end ? mail[(end + 1)..] : mail;
}

/// <summary>What it says of one recipient.</summary>
/// <param name="Final">The address at which it ended; null: no address of Internet mail.</param>
/// <param name="Original">The address that the sender gave, as far as the report says.</param>
/// <param name="Status">RFC 3463: 5.1.1; null: none that can be read.</param>
/// <param name="Diagnostic">The other server's words.</param>
internal sealed partial record ReportedRecipient(
    string? Final, string? Original, ReportedAction Action, string? Status, string? Diagnostic)
{
    /// <summary>The same codes that stop an address while mail is handed over; a full mailbox (5.2.2) may have room
    /// again tomorrow.</summary>
    public bool NamesNoMailbox => Status is { } status && SmtpReplies.NamesNoMailbox(status);

    public string Words => ServerWords.Clean(
        $"{(Action == ReportedAction.Delayed ? "Delayed" : "Returned")}: "
            + $"{Status ?? "no status"}{(Diagnostic is { } words ? $" {words}" : "")}");

    public bool Is(string address) =>
        address.Equals(Final, StringComparison.OrdinalIgnoreCase)
            || address.Equals(Original, StringComparison.OrdinalIgnoreCase);

    /// <summary>Null when the group does not say what was done.</summary>
    public static ReportedRecipient? From(HeaderList group) =>
        Enum.TryParse<ReportedAction>(group["Action"]?.Trim(), ignoreCase: true, out var action)
            && Enum.IsDefined(action)
            ? new(
                Address(group["Final-Recipient"]), Address(group["Original-Recipient"]), action,
                StatusOf(group["Status"]), group["Diagnostic-Code"]?.Trim())
            : null;

    private static string? Address(string? field) =>
        field?.Split(';', 2) is [var type, var address] && type.Trim().ToLowerInvariant() is "rfc822" or "utf-8"
            ? address.Trim().Trim('<', '>')
            : null;

    // A comment may follow.
    private static string? StatusOf(string? field) =>
        Code().Match(field ?? "") is { Success: true } code ? code.Groups[1].Value : null;

    [GeneratedRegex(@"\A\s*([245]\.\d{1,3}\.\d{1,3})(?!\d)", RegexOptions.CultureInvariant)]
    private static partial Regex Code();
}
