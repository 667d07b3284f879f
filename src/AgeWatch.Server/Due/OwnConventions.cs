using System.Text.Json;
using AgeWatch.Core.Marks;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Due;

/// <summary>The conventions that a club has described itself, ready to read with.</summary>
internal static class OwnConventions
{
    public static async Task<IReadOnlyList<MarkConvention>> OfAsync(AgeWatchContext db, Guid clubId, CancellationToken stop) =>
        [.. (await db.ClubConventions.AsNoTracking().Where(c => c.ClubId == clubId).OrderBy(c => c.Key).ToListAsync(stop)).Select(Restore)];

    /// <summary>It was checked when it was stored; its examples are not run again.</summary>
    public static OwnConvention Restore(Storage.Marks.ClubConvention row) =>
        OwnConvention.Restore(JsonSerializer.Deserialize<OwnConventionDraft>(row.Draft, Http.WireJson.Options)!);
}
