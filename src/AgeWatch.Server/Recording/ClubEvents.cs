using System.Text.Json;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Changes;
using AgeWatch.Storage.Clubs;

namespace AgeWatch.Server.Recording;

internal static class ClubEvents
{
    /// <summary>Notes that something happened, in the transaction in which it does.</summary>
    public static async Task RaiseAsync(
        this AgeWatchContext db, Guid clubId, string type, Guid? subjectId, object content, DateTime now,
        CancellationToken stop)
    {
        ClubEvent happened = new()
        {
            ClubId = clubId,
            Sequence = await db.TakeSequenceAsync(clubId, ClubCounter.Events, 1, stop),
            Type = type,
            At = now,
            SubjectId = subjectId,
            Content = JsonSerializer.Serialize(content, WireJson.Options),
        };
        await db.PutAsync([happened], stop);
    }
}
