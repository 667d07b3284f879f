using System.Text.Json;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Marks;

namespace AgeWatch.Server.Answers;

/// <summary>The conventions that a club has described itself, ready to read with.</summary>
internal static class OwnConventions
{
    public static async Task<IReadOnlyList<MarkConvention>> OfAsync(
        AgeWatchContext db, Guid clubId, CancellationToken stop)
    {
        RowBatch read = new(db);
        var rows = Read(read);
        await read.ExecuteAsync(stop);
        return Restore(rows);
    }

    /// <summary>As part of a longer trip.</summary>
    public static List<ClubConvention> Read(RowBatch read) => read.Rows<ClubConvention>();

    public static IReadOnlyList<MarkConvention> Restore(List<ClubConvention> rows) =>
        rows.Count == 0 ? [] : [.. rows.OrderBy(row => row.Key, StringComparer.Ordinal).Select(Restore)];

    /// <summary>It was checked when it was stored; its examples are not run again.</summary>
    public static OwnConvention Restore(ClubConvention row) =>
        OwnConvention.Restore(JsonSerializer.Deserialize<OwnConventionDraft>(row.Draft, WireJson.Options)!);
}
