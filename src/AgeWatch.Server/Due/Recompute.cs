using System.Text.Json;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Ways;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Due;

internal readonly record struct RecomputeCount(int Assessed, int Changed)
{
    public static RecomputeCount operator +(RecomputeCount a, RecomputeCount b) => new(a.Assessed + b.Assessed, a.Changed + b.Changed);
}

/// <summary>Works out due states from the stored facts and writes those that differ, with an event for each change of state.</summary>
internal sealed class Recompute(AgeWatchContext db, TimeProvider clock)
{
    public const string DueChanged = "due.changed";

    /// <summary>Runs inside the caller's transaction, when there is one.</summary>
    /// <param name="vehicleIds">Null stands for the shelf.</param>
    public async Task<RecomputeCount> VehiclesAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, DateOnly day, CancellationToken stop)
    {
        var conventions = await OwnConventions.OfAsync(db, clubId, stop);
        var count = default(RecomputeCount);
        foreach (var chunk in vehicleIds.OfType<Guid>().Distinct().Order().Chunk(50))
        {
            var garages = await Garage.LoadAsync(db, clubId, chunk, stop);
            var known = await db.DueStates
                .Where(s => s.ClubId == clubId && s.VehicleId != null && chunk.Contains(s.VehicleId.Value)).ToListAsync(stop);
            count += await WriteAsync(clubId, garages, known, day, conventions, stop);
        }

        if (vehicleIds.Contains(null))
        {
            var shelf = await Garage.LoadShelfAsync(db, clubId, stop);
            var known = await db.DueStates.Where(s => s.ClubId == clubId && s.VehicleId == null).ToListAsync(stop);
            count += await WriteAsync(clubId, [shelf], known, day, conventions, stop);
        }

        return count;
    }

    private async Task<RecomputeCount> WriteAsync(
        Guid clubId, IReadOnlyList<Garage> garages, List<DueStateRow> known, DateOnly day, IReadOnlyList<MarkConvention> conventions, CancellationToken stop)
    {
        var asked = garages
            .Where(g => g.Vehicle?.GoneOn is not { } gone || gone > day)
            .SelectMany(g => Facts.Ask(g, day, day, conventions).Select(a => (g.Vehicle?.Id, Asked: a)))
            .ToList();

        // A part that has just moved has its old row under the other vehicle or the shelf.
        var rows = known.ToDictionary(s => s.SubjectId);
        var missing = asked.Select(a => a.Asked.SubjectId).Where(id => !rows.ContainsKey(id)).ToList();
        if (missing.Count > 0)
        {
            foreach (var moved in await db.DueStates.Where(s => s.ClubId == clubId && missing.Contains(s.SubjectId)).ToListAsync(stop))
            {
                rows[moved.SubjectId] = moved;
            }
        }

        List<(DueStateRow Row, DueState? Before)> changed = [];
        foreach (var (vehicleId, subject) in asked)
        {
            var answer = DueAssessment.Assess(subject.Question);
            if (!rows.Remove(subject.SubjectId, out var row))
            {
                row = New(clubId, subject, answer, vehicleId, day);
                db.DueStates.Add(row);
                changed.Add((row, null));
            }
            else if (row.State != answer.State || row.Certainty != answer.Certainty)
            {
                changed.Add((row, row.State));
                row.Since = day;
            }

            Take(row, subject, answer, vehicleId, day);
        }

        // What is left was removed, discarded or went with its vehicle.
        var present = garages.Select(g => g.Vehicle?.Id).ToHashSet();
        db.DueStates.RemoveRange(rows.Values.Where(r => present.Contains(r.VehicleId)));
        await AddEventsAsync(clubId, changed, stop);
        await db.SaveChangesAsync(stop);
        return new(asked.Count, changed.Count);
    }

    private static DueStateRow New(Guid clubId, Asked subject, DueAnswer answer, Guid? vehicleId, DateOnly day) => new()
    {
        ClubId = clubId,
        SubjectId = subject.SubjectId,
        SubjectKind = subject.SubjectKind,
        VehicleId = vehicleId,
        PartKind = subject.PartKind,
        State = answer.State,
        Since = day,
        RuleVersion = PartCatalogue.BuiltIn.Version,
    };

    private static void Take(DueStateRow row, Asked subject, DueAnswer answer, Guid? vehicleId, DateOnly day)
    {
        row.VehicleId = vehicleId;
        row.PartKind = subject.PartKind;
        row.Hazard = answer.Hazard;
        row.State = answer.State;
        row.Certainty = answer.Certainty;
        row.DueEarliest = answer.Due?.First;
        row.DueLatest = answer.Due?.Last;
        row.AsOf = day;
        row.NextChangeOn = answer.NextChangeOn;
        row.RuleVersion = PartCatalogue.BuiltIn.Version;
    }

    private async Task AddEventsAsync(Guid clubId, List<(DueStateRow Row, DueState? Before)> changed, CancellationToken stop)
    {
        if (changed.Count == 0)
        {
            return;
        }

        var sequence = await db.TakeSequenceAsync(clubId, changed.Count, stop);
        var now = clock.GetUtcNow().UtcDateTime;
        foreach (var (row, before) in changed)
        {
            db.Events.Add(new ClubEvent
            {
                ClubId = clubId,
                Sequence = sequence++,
                Type = DueChanged,
                At = now,
                SubjectId = row.SubjectId,
                VehicleId = row.VehicleId,
                Content = JsonSerializer.Serialize(
                    new DueChangedContent(row.SubjectId, row.SubjectKind, row.VehicleId, row.PartKind, row.Hazard, before, row.State, row.Certainty, row.DueEarliest, row.DueLatest),
                    WireJson.Options),
            });
        }
    }
}

/// <param name="Before">Null: new.</param>
internal sealed record DueChangedContent(
    Guid SubjectId, SubjectKind SubjectKind, Guid? VehicleId, string PartKind, HazardClass Hazard, DueState? Before, DueState State, Certainty Certainty, DateOnly? DueEarliest, DateOnly? DueLatest);
