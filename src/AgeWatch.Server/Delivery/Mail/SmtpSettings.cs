using System.Globalization;
using System.Net;

namespace AgeWatch.Server.Delivery.Mail;

internal enum MailSecurity
{
    None,
    StartTls,
    Tls,
}

/// <summary>How a mail server is reached.</summary>
/// <param name="CaFile">PEM file of the certificate authority to trust instead of the system's; null: the system's.</param>
internal sealed record SmtpSettings(
    string Host, int Port, MailSecurity Security, string? User = null, string? Password = null, string? CaFile = null)
{
    /// <summary>
    /// Reads <c>host[:port],security,user</c>, <c>host=…;port=…;security=…;user=…</c> or
    /// <c>smtp://user@host:port?security=starttls</c> (<c>smtps://</c> means tls).
    /// </summary>
    /// <exception cref="FormatException">The text cannot be used; the message says why and never shows a password.</exception>
    public static SmtpSettings Parse(string text, string? password = null, string? caFile = null)
    {
        var words = text.Contains("://", StringComparison.Ordinal) ? FromUri(text)
            : text.Contains('=', StringComparison.Ordinal) ? FromPairs(text)
            : FromList(text);

        if (!words.TryGetValue("host", out var host) || Uri.CheckHostName(host.Trim('[', ']')) == UriHostNameType.Unknown)
        {
            throw new FormatException("it names no mail server (expected for example \"mail.example.org:587,starttls,user\").");
        }

        var security = words.GetValueOrDefault("security")?.ToLowerInvariant() switch
        {
            "none" => MailSecurity.None,
            "starttls" => MailSecurity.StartTls,
            "tls" or "ssl" or "smtps" => MailSecurity.Tls,
            null => DefaultSecurity(words.GetValueOrDefault("port")),
            _ => throw new FormatException("its security is none, starttls or tls."),
        };

        var port = words.TryGetValue("port", out var portText)
            ? int.TryParse(portText, NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number is > 0 and < 65536
                ? number
                : throw new FormatException("its port is a number from 1 to 65535.")
            : security switch { MailSecurity.Tls => 465, MailSecurity.StartTls => 587, _ => 25 };

        var settings = new SmtpSettings(
            host.Trim('[', ']'), port, security, words.GetValueOrDefault("user"), password ?? words.GetValueOrDefault("password"), caFile);
        return settings.Objection() is { } objection ? throw new FormatException(objection) : settings;
    }

    private string? Objection() =>
        User is not null && Password is null ? "it names a user but no password is set."
        : User is null && Password is not null ? "a password is set but it names no user."
        : User is not null && Security == MailSecurity.None && !IsLoopback ? "a password is never sent over an open connection: use starttls or tls."
        : null;

    private bool IsLoopback => Host == "localhost" || (IPAddress.TryParse(Host, out var address) && IPAddress.IsLoopback(address));

    private static MailSecurity DefaultSecurity(string? port) => port switch
    {
        "465" => MailSecurity.Tls,
        "25" or "1025" or "2525" => MailSecurity.None,
        _ => MailSecurity.StartTls,
    };

    private static Dictionary<string, string> FromUri(string text)
    {
        if (!Uri.TryCreate(text, UriKind.Absolute, out var uri) || uri.Scheme is not ("smtp" or "smtps"))
        {
            throw new FormatException("its address starts with smtp:// or smtps://.");
        }

        var words = FromPairs(uri.Query.TrimStart('?').Replace('&', ';'));
        words["host"] = uri.Host;
        if (uri.Port > 0)
        {
            words["port"] = uri.Port.ToString(CultureInfo.InvariantCulture);
        }

        if (uri.Scheme == "smtps")
        {
            words.TryAdd("security", "tls");
        }

        var user = uri.UserInfo.Split(':', 2);
        if (user[0].Length > 0)
        {
            words["user"] = Uri.UnescapeDataString(user[0]);
        }

        if (user.Length == 2)
        {
            words["password"] = Uri.UnescapeDataString(user[1]);
        }

        return words;
    }

    private static Dictionary<string, string> FromPairs(string text)
    {
        var words = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);
        foreach (var pair in text.Split([';', ','], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            var (name, value) = pair.Split('=', 2, StringSplitOptions.TrimEntries) is [var n, var v] ? (n, v) : ("", "");
            if (name.ToLowerInvariant() is not ("host" or "port" or "security" or "user" or "password") || !words.TryAdd(name, value))
            {
                throw new FormatException("its members are host, port, security, user and password, each at most once.");
            }
        }

        return words;
    }

    /// <summary>Host (with or without port) first; then, in any order, a number, a security word and a user.</summary>
    private static Dictionary<string, string> FromList(string text)
    {
        var words = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);
        var parts = text.Split([',', ';', ' '], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        if (parts.Length == 0)
        {
            return words;
        }

        var colon = parts[0].LastIndexOf(':');
        var hasPort = colon > 0 && parts[0][..colon].Count(c => c == ':') is var colons && (colons == 0 || parts[0][colon - 1] == ']');
        words["host"] = hasPort ? parts[0][..colon] : parts[0];
        if (hasPort)
        {
            words["port"] = parts[0][(colon + 1)..];
        }

        foreach (var part in parts[1..])
        {
            var name = part.All(char.IsAsciiDigit) ? "port"
                : part.ToLowerInvariant() is "none" or "starttls" or "tls" or "ssl" or "smtps" ? "security"
                : "user";
            if (!words.TryAdd(name, part))
            {
                throw new FormatException($"it gives the {name} twice.");
            }
        }

        return words;
    }
}
