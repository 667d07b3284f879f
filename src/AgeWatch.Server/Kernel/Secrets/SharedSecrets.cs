using System.Security.Cryptography;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Kernel.Secrets;

internal static class SharedSecrets
{
    /// <summary>256 random bits in base64 that all processes on one database share; the first to ask makes
    /// them.</summary>
    public static async Task<string> SharedSecretAsync(this AgeWatchContext db, string name, CancellationToken stop)
    {
        if (await db.ServerSecrets.AsNoTracking().FirstOrDefaultAsync(secret => secret.Name == name, stop) is { } known)
        {
            return known.Value;
        }

        ServerSecret made = new() { Name = name, Value = Convert.ToBase64String(RandomNumberGenerator.GetBytes(32)) };
        db.Add(made);
        try
        {
            await db.SaveChangesAsync(stop);
            return made.Value;
        }
        catch (DbUpdateException twin) when (twin.IsUniqueViolation())
        {
            db.ChangeTracker.Clear();
            return (await db.ServerSecrets.AsNoTracking().FirstAsync(secret => secret.Name == name, stop)).Value;
        }
    }
}
