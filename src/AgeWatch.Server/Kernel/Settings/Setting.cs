namespace AgeWatch.Server.Kernel.Settings;

/// <summary>One row of the options table.</summary>
/// <param name="Name">The environment variable.</param>
/// <param name="Secret">A secret can also be read from the file that <c>Name_FILE</c> names.</param>
internal sealed record Setting(string Name, string Default, string Meaning, bool Secret = false)
{
    public const string Prefix = "AGEWATCH_";

    /// <summary>The same setting in appsettings.json and on the command line: AGEWATCH_LOG_LEVEL is
    /// AgeWatch:LogLevel.</summary>
    public string Key => KeyOf(Name);

    public string FileName => Name + "_FILE";

    public static string KeyOf(string name) => $"{Settings.Section}:{string.Concat(
        name[Prefix.Length..].Split('_', StringSplitOptions.RemoveEmptyEntries)
            .Select(word => word[..1] + word[1..].ToLowerInvariant()))}";
}

/// <summary>The settings are wrong; each message names the one to mend.</summary>
internal sealed class SettingsException(IReadOnlyList<string> messages)
    : Exception(string.Join(Environment.NewLine, messages));
