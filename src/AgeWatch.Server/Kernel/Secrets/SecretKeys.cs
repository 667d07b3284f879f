using System.Security.Cryptography;
using AgeWatch.Server.Kernel.Settings;

namespace AgeWatch.Server.Kernel.Secrets;

internal sealed record SecretOptions
{
    /// <summary>Base64 of 32 bytes; several parted by commas, the first seals.</summary>
    public string? SecretKey { get; init; }
}

/// <summary>Finds the keys that <see cref="SecretBox"/> seals with: from the settings, else a file of the data
/// folder.</summary>
/// <remarks>Not in the database: a copy of the database alone must not open what is sealed in it.</remarks>
internal static class SecretKeys
{
    /// <exception cref="SettingsException">The setting or the file holds no usable key.</exception>
    public static SecretBox Open(SecretOptions options, DataOptions data)
    {
        var file = Path.Combine(data.Folder, "secret.key");
        var (text, where) = string.IsNullOrEmpty(options.SecretKey)
            ? (ReadOrMake(file), file)
            : (options.SecretKey, "AGEWATCH_SECRET_KEY");
        try
        {
            return new([.. text.Split(
                [',', '\n'],
                StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
                    .Select(Convert.FromBase64String)]);
        }
        catch (Exception error) when (error is FormatException or ArgumentException)
        {
            throw new SettingsException(
                [$"{where} must hold the base64 of 32 random bytes (for example from: openssl rand -base64 32)."]);
        }
    }

    private static string ReadOrMake(string file)
    {
        if (!File.Exists(file))
        {
            var draft = $"{file}.{Guid.NewGuid():n}";
            var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
            if (!OperatingSystem.IsWindows())
            {
                options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
            }

            Directory.CreateDirectory(Path.GetDirectoryName(file)!);
            using (var stream = new FileStream(draft, options))
            {
                stream.Write(
                    System.Text.Encoding.ASCII.GetBytes(Convert.ToBase64String(RandomNumberGenerator.GetBytes(32))
                    + "\n"));
            }

            try
            {
                File.Move(draft, file, overwrite: false);
            }
            catch (IOException) when (File.Exists(file))
            {
                // Another process was a moment faster; its key stands.
                File.Delete(draft);
            }
        }

        return File.ReadAllText(file);
    }
}
