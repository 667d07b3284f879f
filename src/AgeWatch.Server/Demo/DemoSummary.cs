using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Demo;

/// <summary>What the night found, on one screen.</summary>
internal sealed class DemoSummary(AgeWatchContext db)
{
    private const int WorstLines = 5;

    public async Task WriteAsync(
        TextWriter output, DateOnly today, string mailFolder, CancellationToken stop)
    {
        await output.WriteLineAsync($"\nWhere the parts stand on {today:yyyy-MM-dd}, by what a failure would do:\n");
        await WriteStatesAsync(output, stop);

        await output.WriteLineAsync("\nThe worst five:\n");
        var worst = await db.DueStates.AsNoTracking().Where(s => s.VehicleId != null)
            .OrderBy(s => s.Rank).ThenBy(s => s.SubjectId)
            .Take(WorstLines)
            .Join(
                db.Vehicles, s => new { s.ClubId, Id = s.VehicleId!.Value }, v => new { v.ClubId, v.Id },
                (s, v) => new { State = s, v.Name })
            .ToListAsync(stop);
        foreach (var line in worst)
        {
            var kind = PartCatalogue.BuiltIn.Find(line.State.PartKind)?.Name ?? line.State.PartKind;
            var due = line.State.DueEarliest is { } day ? $", since {day:yyyy-MM-dd}" : "";
            await output.WriteLineAsync(
                $"  {WireNames.Of(line.State.State)} ({WireNames.Of(line.State.Certainty)}){due}: {kind}, {line.Name}");
        }

        await output.WriteLineAsync($"\nDigests, as .eml files in {mailFolder}:\n");
        var digests = await db.Digests.AsNoTracking()
            .Join(
                db.Members, d => new { d.ClubId, Id = d.MemberId }, m => new { m.ClubId, m.Id },
                (d, m) => new { d.Kind, m.Name, d.Subject })
            .OrderByDescending(d => d.Kind == DigestKind.Officer).ThenBy(d => d.Name).ToListAsync(stop);
        foreach (var digest in digests)
        {
            var role = digest.Kind == DigestKind.Officer ? " (officer)" : "";
            await output.WriteLineAsync($"  {digest.Name}{role}: {digest.Subject}");
        }
    }

    private async Task WriteStatesAsync(TextWriter output, CancellationToken stop)
    {
        var counts = await db.DueStates.AsNoTracking()
            .GroupBy(s => new { s.Hazard, s.State, IsMandatory = s.Force == Force.Mandatory })
                .Select(g => new { g.Key.Hazard, g.Key.State, g.Key.IsMandatory, Count = g.Count() })
                .ToListAsync(stop);
        var states = Enum.GetValues<DueState>();
        await output.WriteLineAsync($"  {"",-14}{string.Concat(states.Select(state => $"{WireNames.Of(state),13}"))}");
        foreach (var (hazard, isMandatory) in Enum.GetValues<HazardClass>()
            .SelectMany(hazard => new[] { (hazard, true), (hazard, false) }))
        {
            // The second line of a hazard has what is recommended, and what no limit stands behind.
            var row = states.Select(state => counts.Where(c =>
                c.Hazard == hazard && c.State == state && c.IsMandatory == isMandatory).Sum(c => c.Count));
            var name = isMandatory ? WireNames.Of(hazard) : "  recommended";
            await output.WriteLineAsync(
                $"  {name,-14}{string.Concat(row.Select(count => count.ToString(CultureInfo.InvariantCulture).PadLeft(13)))}");
        }
    }
}
