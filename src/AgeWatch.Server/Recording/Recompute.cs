using System.Text.Json;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Telling;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Changes;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Marks;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Recording;

/// <param name="Changed">New, or of another state, certainty or force.</param>
/// <param name="Written">Rows added, put or removed; the others stood as they were.</param>
internal readonly record struct RecomputeCount(int Assessed, int Changed, int Written)
{
    public static RecomputeCount operator +(RecomputeCount a, RecomputeCount b) =>
        new(a.Assessed + b.Assessed, a.Changed + b.Changed, a.Written + b.Written);
}

/// <summary>
/// Works out due states from the stored facts and writes those that differ, with an event for each change of state.
/// Runs inside the caller's transaction, which holds the lock on what it asks for.
/// </summary>
internal sealed class Recompute(AgeWatchContext db, TimeProvider clock)
{
    /// <summary>Vehicles in memory at once.</summary>
    public const int VehiclesAtOnce = 50;

    /// <summary>Parts of the shelf in memory at once.</summary>
    public const int ShelfAtOnce = 1000;

    /// <param name="vehicleIds">Null stands for the shelf.</param>
    public async Task<RecomputeCount> VehiclesAsync(
        Guid clubId, IReadOnlyCollection<Guid?> vehicleIds, DateOnly day, CancellationToken stop)
    {
        var count = default(RecomputeCount);
        foreach (var chunk in vehicleIds.OfType<Guid>().Distinct().Order().Chunk(VehiclesAtOnce))
        {
            count += await VehiclesAsync(clubId, chunk, day, isAll: true, stop);
        }

        if (!vehicleIds.Contains(null))
        {
            return count;
        }

        Club club = new(clubId, day, await OwnConventions.OfAsync(db, clubId, stop));
        for (var after = default(Guid?); ;)
        {
            var shelf = await StoredVehicle.LoadShelfAsync(db, clubId, after, ShelfAtOnce, stop);
            var isLast = shelf.Components.Count < ShelfAtOnce;
            var until = isLast ? default(Guid?) : shelf.Components[^1].Row.Id;
            var known = OfShelf();
            known = after is { } from ? known.Where(s => s.SubjectId > from) : known;
            known = until is { } to ? known.Where(s => s.SubjectId <= to) : known;
            count += await WriteAsync(club, [shelf], await known.ToListAsync(stop), isAll: true, stop);
            if (isLast)
            {
                return count;
            }

            after = until;
        }
    }

    /// <summary>Only those subjects of the vehicles whose answer can have changed by the day.</summary>
    public Task<RecomputeCount> DueOfVehiclesAsync(
        Guid clubId, IReadOnlyCollection<Guid> vehicleIds, DateOnly day, CancellationToken stop) =>
        VehiclesAsync(clubId, vehicleIds, day, isAll: false, stop);

    /// <summary>The same for parts on the shelf, some at a time: nothing assessed means that nothing is left.</summary>
    public async Task<RecomputeCount> DueOfShelfAsync(Guid clubId, DateOnly day, CancellationToken stop)
    {
        Club club = new(clubId, day, await OwnConventions.OfAsync(db, clubId, stop));
        var known = await OfShelf()
            .Where(s => s.NextChangeOn <= day)
            .OrderBy(s => s.SubjectId)
            .Take(ShelfAtOnce)
            .ToListAsync(stop);
        var ids = known.Select(s => s.SubjectId).ToList();
        var shelf = await StoredVehicle.LoadShelfAsync(db, clubId, ids, stop);
        return await WriteAsync(club, [shelf], known, isAll: false, stop);
    }

    private async Task<RecomputeCount> VehiclesAsync(
        Guid clubId, IReadOnlyCollection<Guid> vehicleIds, DateOnly day, bool isAll, CancellationToken stop)
    {
        List<SubjectState> known = [];
        List<ClubConvention> conventions = [];
        var storedVehicles = await StoredVehicle.LoadAsync(db, clubId, vehicleIds, stop, read =>
        {
            var onThem = $"vehicle_id {read.In("vehicles")}";
            known = isAll
                ? read.Rows<SubjectState>(onThem)
                : read.With("day", day).Rows<SubjectState>($"{onThem} AND next_change_on <= @day");
            conventions = OwnConventions.Read(read);
        });
        return await WriteAsync(
            new(clubId, day, OwnConventions.Restore(conventions)), storedVehicles, known, isAll, stop);
    }

    /// <param name="isAll">Every subject of the vehicles; else those that are known.</param>
    private async Task<RecomputeCount> WriteAsync(
        Club club, IReadOnlyList<StoredVehicle> storedVehicles, List<SubjectState> known, bool isAll,
            CancellationToken stop)
    {
        var rows = known.ToDictionary(s => s.SubjectId);
        var wanted = isAll ? null : rows.Keys.ToHashSet();
        var asked = storedVehicles
            .Where(g => g.Vehicle?.GoneOn is not { } gone || gone > club.Day)
            .Select(g => (Stored: g, Turn: NextChange.FactsAfter(g, club.Day)))
            .SelectMany(g => DueQuestions.For(g.Stored, club.Day, club.Day, club.Conventions, wanted: wanted)
                .Select(a => (g.Stored, g.Turn, Asked: a)))
            .ToList();

        // A part that has just moved has its old row under the other vehicle or the shelf.
        foreach (var missing in asked.Select(a => a.Asked.SubjectId).Where(id => !rows.ContainsKey(id)).Chunk(1000))
        {
            foreach (var moved in await db.DueStates.AsNoTracking()
                .Where(s => missing.Contains(s.SubjectId))
                .ToListAsync(stop))
            {
                rows[moved.SubjectId] = moved;
            }
        }

        List<SubjectState> written = [];
        List<(SubjectState Row, DueState? Before)> changed = [];
        foreach (var (stored, turn, subject) in asked)
        {
            rows.Remove(subject.SubjectId, out var before);
            var row = RowOf(club, stored, turn, subject, before);

            // A row from before force was kept has none; to fill it in is no change.
            if (before is null || row.State != before.State || row.Certainty != before.Certainty
                || before.Force is not null && row.Force != before.Force)
            {
                changed.Add((row, before?.State));
            }

            if (before is null || !IsSame(row, before))
            {
                written.Add(row);
            }
        }

        // What is left was removed, discarded or went with its vehicle.
        var present = storedVehicles.Select(g => g.Vehicle?.Id).ToHashSet();
        var gone = rows.Values.Where(r => present.Contains(r.VehicleId)).Select(r => r.SubjectId).ToList();
        if (gone.Count > 0)
        {
            await db.DueStates.Where(s => gone.Contains(s.SubjectId)).ExecuteDeleteAsync(stop);
        }

        await db.PutAsync(written, stop);
        await AddEventsAsync(club.Id, changed, stop);
        return new(asked.Count, changed.Count, written.Count + gone.Count);
    }

    private static SubjectState RowOf(
        Club club, StoredVehicle stored, DateOnly? turn, SubjectQuestion subject, SubjectState? before)
    {
        var answer = DueAssessment.Assess(subject.Question);
        var days = DueDaysReply.From(answer.Due); // Without the day that stands for "never".
        return new()
        {
            ClubId = club.Id,
            SubjectId = subject.SubjectId,
            SubjectKind = subject.SubjectKind,
            VehicleId = stored.Vehicle?.Id,
            PartKind = subject.PartKind,
            Hazard = answer.Hazard,
            State = answer.State,
            Certainty = answer.Certainty,
            Force = answer.Force,
            BornEarliest = answer.Born.Span?.First,
            BornLatest = answer.Born.Span?.Last,
            DueEarliest = days?.Earliest,
            Rank = WorstKey.Of(answer, subject.SubjectId).Rank,
            DueLatest = days?.Latest,
            AsOf = club.Day,
            NextChangeOn = NextChange.Next(stored, turn, answer, club.Day),
            Since = before is not null && before.State == answer.State && before.Certainty == answer.Certainty
                ? before.Since
                : club.Day,
            RuleVersion = PartCatalogue.BuiltIn.Version,
        };
    }

    /// <summary>Whether the answer is the old one; the day on which it was worked out again is no part of it.</summary>
    private static bool IsSame(SubjectState a, SubjectState b) =>
        (a.SubjectKind, a.VehicleId, a.PartKind, a.Hazard, a.State, a.Certainty, a.Force)
            == (b.SubjectKind, b.VehicleId, b.PartKind, b.Hazard, b.State, b.Certainty, b.Force)
        && (a.DueEarliest, a.DueLatest, a.Rank, a.NextChangeOn, a.Since, a.RuleVersion)
            == (b.DueEarliest, b.DueLatest, b.Rank, b.NextChangeOn, b.Since, b.RuleVersion)
        && (a.BornEarliest, a.BornLatest) == (b.BornEarliest, b.BornLatest);

    private async Task AddEventsAsync(
        Guid clubId, List<(SubjectState Row, DueState? Before)> changed, CancellationToken stop)
    {
        if (changed.Count == 0)
        {
            return;
        }

        var sequence = await db.TakeSequenceAsync(clubId, ClubCounter.Events, changed.Count, stop);
        var now = clock.GetUtcNow().UtcDateTime;
        await db.PutAsync(changed.ConvertAll(change => EventOf(change.Row, change.Before, sequence++, now)), stop);
    }

    private static ClubEvent EventOf(SubjectState row, DueState? before, long sequence, DateTime now) => new()
    {
        ClubId = row.ClubId,
        Sequence = sequence,
        Type = EventType.DueChanged,
        At = now,
        SubjectId = row.SubjectId,
        VehicleId = row.VehicleId,
        Content = JsonSerializer.Serialize(
            new DueChangedContent
            {
                SubjectId = row.SubjectId,
                SubjectKind = row.SubjectKind,
                VehicleId = row.VehicleId,
                PartKind = row.PartKind,
                Hazard = row.Hazard,
                Before = before,
                State = row.State,
                Certainty = row.Certainty,
                Force = row.Force,
                DueEarliest = row.DueEarliest,
                DueLatest = row.DueLatest,
            },
            WireJson.Options),
    };

    private IQueryable<SubjectState> OfShelf() =>
        db.DueStates.AsNoTracking().Where(s => s.VehicleId == null);

    private sealed record Club(Guid Id, DateOnly Day, IReadOnlyList<MarkConvention> Conventions);
}
