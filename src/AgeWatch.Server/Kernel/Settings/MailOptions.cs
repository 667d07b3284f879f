using System.ComponentModel.DataAnnotations;
using System.Diagnostics.CodeAnalysis;
using System.Web;
using MimeKit;

namespace AgeWatch.Server.Kernel.Settings;

internal enum SmtpSecurity
{
    None,
    StartTls,
    Tls,
}

/// <summary>The mail server to hand mail to.</summary>
/// <param name="CaFile">PEM file of the authority to trust in place of the system's.</param>
internal sealed record SmtpTarget(
    string Host, int Port, SmtpSecurity Security, string? User = null, string? Password = null, string? CaFile = null)
{
    // A record prints its members; the password must not reach a log that way.
    public override string ToString() => $"{Host}:{Port} ({Security})";
}

internal sealed record MailOptions : IValidatableObject
{
    public string? Smtp { get; init; }

    public string? SmtpPassword { get; init; }

    public string? SmtpCaFile { get; init; }

    public string MailFrom { get; init; } = "AgeWatch <agewatch@localhost>";

    /// <summary>Null: mail is written as files into the data folder.</summary>
    public SmtpTarget? Target => TryRead(out var target, out _) ? target : null;

    public MailboxAddress From => MailboxAddress.Parse(MailFrom);

    public IEnumerable<ValidationResult> Validate(ValidationContext validationContext)
    {
        if (!TryRead(out var target, out var wrong))
        {
            yield return new(wrong);
        }
        else if (!string.IsNullOrEmpty(SmtpPassword) && target?.User is null)
        {
            yield return new("AGEWATCH_SMTP_PASSWORD is set but AGEWATCH_SMTP names no user.");
        }
        else if (target?.User is not null && string.IsNullOrEmpty(SmtpPassword))
        {
            yield return new("AGEWATCH_SMTP names a user but neither AGEWATCH_SMTP_PASSWORD nor "
                + "AGEWATCH_SMTP_PASSWORD_FILE is set.");
        }

        else if (target is { User: not null, Security: SmtpSecurity.None } && !IsLoopback(target.Host))
        {
            yield return new(
                "AGEWATCH_SMTP names a user with security=none; a password is never sent in clear to another machine.");
        }

        if (!string.IsNullOrEmpty(SmtpCaFile) && !File.Exists(SmtpCaFile))
        {
            yield return new($"AGEWATCH_SMTP_CA_FILE: {SmtpCaFile} is not there.");
        }

        if (!MailboxAddress.TryParse(MailFrom, out var from) || from.Domain.Length == 0 || MailFrom.Any(char.IsControl))
        {
            yield return new("AGEWATCH_MAIL_FROM must be one address such as \"AgeWatch <agewatch@club.example>\".");
        }
    }

    private static bool IsLoopback(string host) =>
        host == "localhost"
            || (System.Net.IPAddress.TryParse(host, out var address) && System.Net.IPAddress.IsLoopback(address));

    private bool TryRead(out SmtpTarget? target, [NotNullWhen(false)] out string? wrong)
    {
        target = null;
        wrong = null;
        if (string.IsNullOrWhiteSpace(Smtp))
        {
            return true;
        }

        if (!Uri.TryCreate(Smtp, UriKind.Absolute, out var uri)
            || uri.Scheme != "smtp"
            || uri.Host.Length == 0
            || uri.AbsolutePath is not ("" or "/"))
        {
            wrong = "AGEWATCH_SMTP must look like smtp://user@host:587?security=starttls.";
            return false;
        }

        if (uri.UserInfo.Contains(':', StringComparison.Ordinal))
        {
            wrong =
                "AGEWATCH_SMTP must not hold the password; use AGEWATCH_SMTP_PASSWORD or AGEWATCH_SMTP_PASSWORD_FILE.";
            return false;
        }

        var query = HttpUtility.ParseQueryString(uri.Query);
        var unknown = query.AllKeys.FirstOrDefault(key => key != "security");
        SmtpSecurity? security = query["security"] switch
        {
            "none" => SmtpSecurity.None,
            "starttls" => SmtpSecurity.StartTls,
            "tls" => SmtpSecurity.Tls,

            // Nothing leaves the machine towards a loopback relay; anywhere else, clear text must be asked for.
            null when uri.IsLoopback => SmtpSecurity.None,
            null => uri.Port == 465 ? SmtpSecurity.Tls : SmtpSecurity.StartTls,
            _ => null,
        };
        if (security is not { } chosen || unknown is not null)
        {
            wrong = "AGEWATCH_SMTP takes one query parameter: security=none, security=starttls or security=tls.";
            return false;
        }

        var port = uri.Port > 0 ? uri.Port : chosen switch
        {
            SmtpSecurity.None => 25,
            SmtpSecurity.StartTls => 587,
            SmtpSecurity.Tls => 465,
        };
        var user = uri.UserInfo.Length > 0 ? Uri.UnescapeDataString(uri.UserInfo) : null;
        target = new(uri.IdnHost.Trim('[', ']'), port, chosen, user, SmtpPassword, string.IsNullOrEmpty(SmtpCaFile)
            ? null
            : SmtpCaFile);
        return true;
    }
}
