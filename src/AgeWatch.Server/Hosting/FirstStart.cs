using System.Text;
using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Hosting;

/// <summary>Brings the database up to date, and makes the club and its first key when there is none.</summary>
internal sealed class FirstStart(
    AgeWatchContext db, FactWriter writer, DataOptions data, ClubOptions club, Cursor cursor, TimeProvider clock,
    ILogger<FirstStart> log)
{
    // The row that says the first start is over: even with every key gone it cannot be had again.
    internal const string DoneName = "first-start";

    private string KeyFile => Path.Combine(data.Folder, "first-officer-key.txt");

    /// <exception cref="SettingsException">The data folder cannot be written, or the file in it holds no
    /// key.</exception>
    /// <exception cref="NewerSchemaException">The database belongs to a newer program.</exception>
    public async Task RunAsync(CancellationToken stop)
    {
        _ = PartCatalogue.BuiltIn; // Faulty data must show now, not at the first question.
        MakeFolder();
        await db.MigrateSafelyAsync(stop);
        cursor.Use(Convert.FromBase64String(await db.SharedSecretAsync(Cursor.SecretName, stop)));
        if (!await db.ServerSecrets.AnyAsync(secret => secret.Name == DoneName, stop))
        {
            await MakeClubAsync(stop);
        }
        else if (club.FirstKey is { Length: > 0 } given && !await IsKnownAsync(given, stop))
        {
            log.LogWarning("AGEWATCH_FIRST_KEY is not a key of this database and is ignored: the first start is over");
        }
    }

    private async Task MakeClubAsync(CancellationToken stop)
    {
        var given = string.IsNullOrEmpty(club.FirstKey) ? null : club.FirstKey;
        var isOurFile = given is null && !File.Exists(KeyFile);
        var key = given ?? ReadOrWriteKeyFile();
        var now = clock.GetUtcNow().UtcDateTime;
        Club row = new() { ClubId = Guid.CreateVersion7(), Name = club.Club, TimeZone = club.Zone, CreatedAt = now };
        Key officer = new()
        {
            ClubId = row.ClubId,
            Id = Guid.CreateVersion7(),
            Role = KeyRole.Officer,
            Name = "First officer key",
            LastFour = key[^4..],
            CreatedAt = now,
        };
        db.EnterClub(row.ClubId);
        db.AddRange(row, officer, new ServerSecret { Name = DoneName, Value = row.ClubId.ToString() }, new AccessHash
        {
            Hash = KeyText.HashOf(key),
            Kind = AccessKind.Key,
            ClubId = row.ClubId,
            TargetId = officer.Id,
        });
        try
        {
            await writer.SaveAsync(row.ClubId, stop);
        }
        catch (DbUpdateException twin) when (twin.IsUniqueViolation())
        {
            // Another process was a moment faster; its club and key stand.
            db.ChangeTracker.Clear();
            if (isOurFile && !await IsKnownAsync(key, stop))
            {
                File.Delete(KeyFile);
            }

            return;
        }

        log.LogInformation("Made the club {Club}", club.Club);
        if (given is null)
        {
            log.LogInformation("The first officer key is in {File}; take it and delete the file", KeyFile);
        }
    }

    private Task<bool> IsKnownAsync(string key, CancellationToken stop)
    {
        var hash = KeyText.HashOf(key);
        return db.AccessHashes.AnyAsync(access => access.Hash == hash && access.Kind == AccessKind.Key, stop);
    }

    // Written before the database knows the key, so that a crash between the two loses nothing: the next start reads
    // it.
    private string ReadOrWriteKeyFile()
    {
        if (!File.Exists(KeyFile))
        {
            var draft = $"{KeyFile}.{Guid.NewGuid():N}";
            FileStreamOptions options = new() { Mode = FileMode.CreateNew, Access = FileAccess.Write };
            if (!OperatingSystem.IsWindows())
            {
                options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
            }

            using (FileStream stream = new(draft, options))
            {
                stream.Write(Encoding.ASCII.GetBytes(KeyText.New() + "\n"));
            }

            try
            {
                File.Move(draft, KeyFile, overwrite: false);
            }
            catch (IOException) when (File.Exists(KeyFile))
            {
                File.Delete(draft);
            }
        }

        var key = File.ReadAllText(KeyFile).Trim();
        return KeyText.HasForm(key)
            ? key
            : throw new SettingsException([$"{KeyFile} holds no key; delete it and start again."]);
    }

    private void MakeFolder()
    {
        try
        {
            if (OperatingSystem.IsWindows())
            {
                Directory.CreateDirectory(data.Folder);
            }
            else
            {
                Directory.CreateDirectory(
                    data.Folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
            }
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException([$"AGEWATCH_DATA: {data.Folder} cannot be made ({fault.Message})"]);
        }
    }
}
