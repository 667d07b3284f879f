using System.Collections;
using System.ComponentModel.DataAnnotations;

namespace AgeWatch.Server.Kernel.Settings;

internal static class Settings
{
    public const string Section = "AgeWatch";

    /// <summary>Every setting there is; what is not here is refused at start, because a misspelt one would be silently
    /// ignored.</summary>
    public static readonly IReadOnlyList<Setting> All =
    [
        new("AGEWATCH_DATA", "./data", "Data folder; the only place the server writes to."),
        new(
            "AGEWATCH_DATABASE", "", "PostgreSQL connection string. Absent: SQLite, `agewatch.db` in the data folder.",
            Secret: true),
        new("AGEWATCH_ROLE", "both", "`api`, `worker` or `both`."),
        new("AGEWATCH_URLS", "http://127.0.0.1:5080", "Addresses to listen on, parted by `;`."),
        new(
            "AGEWATCH_PUBLIC_URL", "",
            "The address users see, with any path prefix a proxy adds; used in links, problem types and mail. "
                + "Absent: taken from each request, and mail has no links."),
        new(
            "AGEWATCH_TRUSTED_PROXIES", "",
            "Addresses or CIDR ranges, parted by commas, whose X-Forwarded-For, -Proto and -Host are believed."),
        new("AGEWATCH_CLUB", "My club", "Name of the club made at first start."),
        new("AGEWATCH_ZONE", "UTC", "IANA time zone of the club made at first start."),
        new(
            "AGEWATCH_FIRST_KEY", "",
            "First officer key, `agw_` and at least 43 letters, digits, `-` or `_`. Absent: made at first start and "
                + "written to `first-officer-key.txt` in the data folder.",
            Secret: true),
        new(
            "AGEWATCH_SMTP", "",
            "`smtp://user@host:587?security=starttls`; security is `none`, `starttls` or `tls`. Absent: mail is "
                + "written as .eml files into the data folder."),
        new("AGEWATCH_SMTP_PASSWORD", "", "Password of the SMTP user.", Secret: true),
        new(
            "AGEWATCH_SMTP_CA_FILE", "",
            "PEM file of the certificate authority of the mail server, when it is your own."),
        new("AGEWATCH_MAIL_FROM", "AgeWatch <agewatch@localhost>", "Sender of all mail."),
        new(
            "AGEWATCH_DKIM_KEY", "",
            "RSA private key in PEM that signs mail with DKIM. Absent: the relay signs, or nobody.", Secret: true),
        new("AGEWATCH_DKIM_SELECTOR", "", "DKIM selector under the sender's domain."),
        new(
            "AGEWATCH_SECRET_KEY", "",
            "Base64 of 32 random bytes that seals webhook secrets in the database; several parted by commas: the "
                + "first seals, all open. Absent: made at first need in `secret.key` in the data folder, so set it "
                + "when several machines share a database.",
            Secret: true),
        new(
            "AGEWATCH_WEBHOOK_ALLOW_CIDR", "",
            "Private ranges, parted by commas, that webhooks may reach all the same."),
        new(
            "AGEWATCH_METRICS_KEY", "",
            "Key of at least 32 characters with which a Prometheus server reads `/metrics`, sent as a bearer token. "
                + "Absent: there is no such address.",
            Secret: true),
        new("AGEWATCH_LOG", "text", "`text` or `json` (one compact JSON object a line)."),
        new("AGEWATCH_LOG_LEVEL", "information", "`debug`, `information`, `warning` or `error`."),
    ];

    /// <summary>Lays the environment over appsettings, and the command line over both.</summary>
    /// <exception cref="SettingsException">An unknown name, or a secret's file that cannot be read.</exception>
    public static void AddAgeWatch(this ConfigurationManager configuration, IDictionary environment, string[] args)
    {
        List<string> wrong = [];
        Dictionary<string, string?> values = [];
        foreach (DictionaryEntry entry in environment)
        {
            if (entry.Key is string name && name.StartsWith(Setting.Prefix, StringComparison.Ordinal))
            {
                if (!All.Any(setting => name == setting.Name || (setting.Secret && name == setting.FileName)))
                {
                    wrong.Add($"{name} is not a setting of AgeWatch.");
                }
                else if (entry.Value is string { Length: > 0 } value)
                {
                    values[Setting.KeyOf(name)] = value;
                }
            }
        }

        configuration.AddInMemoryCollection(values);

        // A flag without a value would swallow the argument behind it as its value.
        configuration.AddCommandLine([.. args.Where(arg => arg.Contains('=', StringComparison.Ordinal))]);

        wrong.AddRange(configuration.GetSection(Section).GetChildren()
            .Where(child => !IsKnown(child.Path) && !values.ContainsKey(child.Path))
            .Select(child => $"{child.Path} is not a setting of AgeWatch."));
        configuration.AddInMemoryCollection(ReadSecretFiles(configuration, wrong));
        if (wrong.Count > 0)
        {
            throw new SettingsException(wrong);
        }
    }

    /// <exception cref="SettingsException">A value breaks its rule.</exception>
    public static T Read<T>(this IConfiguration configuration)
        where T : class, new()
    {
        var options = configuration.GetSection(Section).Get<T>() ?? new T();
        List<ValidationResult> wrong = [];
        return Validator.TryValidateObject(options, new ValidationContext(options), wrong, validateAllProperties: true)
            ? options
            : throw new SettingsException([.. wrong.Select(result => result.ErrorMessage ?? "A setting is wrong.")]);
    }

    private static bool IsKnown(string key) => All.Any(setting =>
        string.Equals(setting.Key, key, StringComparison.OrdinalIgnoreCase)
        || (setting.Secret && string.Equals(Setting.KeyOf(setting.FileName), key, StringComparison.OrdinalIgnoreCase)));

    private static Dictionary<string, string?> ReadSecretFiles(ConfigurationManager configuration, List<string> wrong)
    {
        Dictionary<string, string?> secrets = [];
        foreach (var setting in All.Where(setting => setting.Secret))
        {
            if (configuration[Setting.KeyOf(setting.FileName)] is not { Length: > 0 } path)
            {
                continue;
            }

            if (!string.IsNullOrEmpty(configuration[setting.Key]))
            {
                wrong.Add($"{setting.Name} and {setting.FileName} are both set; keep one.");
                continue;
            }

            try
            {
                secrets[setting.Key] = File.ReadAllText(path).Trim();
                if (secrets[setting.Key] is "")
                {
                    wrong.Add($"{setting.FileName}: {path} is empty.");
                }
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
            {
                wrong.Add($"{setting.FileName}: {path} cannot be read ({fault.Message})");
            }
        }

        return secrets;
    }
}
