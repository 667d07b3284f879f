using AgeWatch.Server.Hosting;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Fixtures;

internal static class FirstClub
{
    /// <summary>Enters the club that the first start made; none on a database that no server has begun.</summary>
    public static void EnterFirstClub(this AgeWatchContext db)
    {
        if (db.ServerSecrets.SingleOrDefault(secret => secret.Name == FirstStart.DoneName) is { } done)
        {
            db.ChangeTracker.Clear();
            db.EnterClub(Guid.Parse(done.Value));
        }
    }
}
