using System.ComponentModel.DataAnnotations;
using System.Security.Cryptography;
using System.Text;
using AgeWatch.Server.Kernel.Settings;
using MimeKit.Cryptography;

namespace AgeWatch.Server.Mail;

internal sealed record DkimOptions : IValidatableObject
{
    /// <summary>RSA private key in PEM; null: nothing is signed here, the relay does it or nobody.</summary>
    public string? DkimKey { get; init; }

    public string? DkimSelector { get; init; }

    public IEnumerable<ValidationResult> Validate(ValidationContext validationContext)
    {
        if (string.IsNullOrEmpty(DkimKey) != string.IsNullOrEmpty(DkimSelector))
        {
            yield return new("AGEWATCH_DKIM_KEY and AGEWATCH_DKIM_SELECTOR are set both or neither.");
        }
        else if (!string.IsNullOrEmpty(DkimKey) && !IsRsaKey(DkimKey))
        {
            yield return new("AGEWATCH_DKIM_KEY must be an RSA private key in PEM, without a password.");
        }
    }

    private static bool IsRsaKey(string pem)
    {
        try
        {
            using var rsa = RSA.Create();
            rsa.ImportFromPem(pem);
            return true;
        }
        catch (Exception error) when (error is ArgumentException or CryptographicException)
        {
            return false;
        }
    }
}

/// <summary>Signs mail with DKIM (RFC 6376) in the name of the sender's domain, where a key is set.</summary>
internal sealed class MailSigner(DkimOptions dkim, MailOptions mail)
{
    public DkimSigner? Signer { get; } = string.IsNullOrEmpty(dkim.DkimKey) || string.IsNullOrEmpty(dkim.DkimSelector)
        ? null
        : new DkimSigner(new MemoryStream(Encoding.ASCII.GetBytes(dkim.DkimKey)), mail.From.Domain, dkim.DkimSelector)
        {
            HeaderCanonicalizationAlgorithm = DkimCanonicalizationAlgorithm.Relaxed,
            BodyCanonicalizationAlgorithm = DkimCanonicalizationAlgorithm.Relaxed,
        };
}
