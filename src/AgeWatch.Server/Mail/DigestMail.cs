using System.Security.Cryptography;
using System.Text;
using MimeKit;
using MimeKit.Cryptography;
using MimeKit.Utils;

namespace AgeWatch.Server.Mail;

/// <summary>Turns a rendered digest into the bytes that are stored and sent, whole and unchanged, at every
/// try.</summary>
internal static class DigestMail
{
    private static readonly FormatOptions Wire = MakeWireFormat();

    // RFC 8058 asks that both unsubscribe headers are under the signature.
    private static readonly HeaderId[] Signed =
    [
        HeaderId.From, HeaderId.To, HeaderId.ReplyTo, HeaderId.Subject, HeaderId.Date, HeaderId.MessageId,
        HeaderId.MimeVersion, HeaderId.ContentType, HeaderId.AutoSubmitted,
        HeaderId.ListId, HeaderId.ListUnsubscribe, HeaderId.ListUnsubscribePost,
    ];

    /// <param name="signer">DKIM; null: the relay signs, or nobody.</param>
    public static byte[] Write(DigestEnvelope envelope, string text, string html, DkimSigner? signer = null)
    {
        using var message = new MimeMessage();
        message.From.Add(envelope.From);
        message.To.Add(envelope.To);
        if (envelope.ReplyTo is { } replyTo)
        {
            message.ReplyTo.Add(replyTo);
        }

        message.Subject = envelope.Subject;
        message.Date = envelope.Date;
        message.MessageId = envelope.MessageId;
        message.Headers.Add(HeaderId.AutoSubmitted, "auto-generated");
        message.Headers.Add("X-Auto-Response-Suppress", "All");
        AddListHeaders(message, envelope);

        // The last alternative is the preferred one (RFC 2046 5.1.4).
        message.Body = new MultipartAlternative(
            Part("plain", text), Part("html", html))
        { Boundary = Boundary(envelope.MessageId) };

        if (signer is not null)
        {
            message.Prepare(EncodingConstraint.SevenBit);
            signer.Sign(Wire, message, [.. Signed.Where(message.Headers.Contains)]);
        }

        using var bytes = new MemoryStream();
        message.WriteTo(Wire, bytes);
        return bytes.ToArray();
    }

    private static void AddListHeaders(MimeMessage message, DigestEnvelope envelope)
    {
        var phrase = Encoding.ASCII.GetString(Rfc2047.EncodePhrase(Encoding.UTF8, envelope.ListName));
        message.Headers.Add(HeaderId.ListId, $"{phrase} <{envelope.ListId}>");
        if (envelope.UnsubscribeUrl is { } url && url.Scheme == Uri.UriSchemeHttps)
        {
            message.Headers.Add(HeaderId.ListUnsubscribe, $"<{url.AbsoluteUri}>");
            message.Headers.Add(HeaderId.ListUnsubscribePost, "List-Unsubscribe=One-Click");
        }
    }

    private static TextPart Part(string subtype, string text)
    {
        var part = new TextPart(subtype) { ContentTransferEncoding = ContentEncoding.QuotedPrintable };
        part.SetText(Encoding.UTF8, text);
        return part;
    }

    // "=_" cannot stand in quoted-printable text, so no line of the body can be taken for a boundary (RFC 2045 6.7).
    private static string Boundary(string messageId) =>
        "=_" + Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(messageId)).AsSpan(0, 12));

    private static FormatOptions MakeWireFormat()
    {
        var format = FormatOptions.Default.Clone();
        format.NewLineFormat = NewLineFormat.Dos;
        format.International = false;
        return format;
    }
}
