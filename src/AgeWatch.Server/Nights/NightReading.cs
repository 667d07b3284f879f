using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Telling;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Digests;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Due;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

/// <param name="Gone">Told of before, and since taken off or discarded.</param>
internal sealed record NightChoice(
    DigestChoice Choice, IReadOnlyDictionary<Guid, DigestItem> Items,
    IReadOnlyList<(Guid SubjectId, string Text)> Gone);

/// <summary>
/// Chooses what one person is told. The stored states say who has anything to be told at all; only the vehicles that
/// come up are worked out again with their reasons, so that a quiet night reads little. Of several people the vehicles
/// are read at once, because most of a digest's time is ways to the database.
/// </summary>
/// <remarks>For one club and one night.</remarks>
internal sealed class NightReading(AgeWatchContext db)
{
    private IReadOnlyList<MarkConvention>? _conventions;
    private List<Guid>? _deferred;

    /// <summary>What the stored states say that the person may have to be told.</summary>
    public async Task<DigestCandidates> LookAsync(
        Member member, DigestKind kind, DigestScope reach, DateOnly day, int cap, CancellationToken stop)
    {
        var told = await ToldAsync(member, kind, day, stop);
        var places = await PlacesAsync(
            reach.Rows(db, member, isOpen: true), reach.Rows(db, member, isOpen: false), reach, told, stop);
        var choice = DigestSelection.Choose(day, [.. places.Values.Select(place => place.Subject)], told, cap);
        return new(
            member, kind, day, cap, told, places, await DeferredAsync(places, stop),
            Wanted(choice, places, []));
    }

    /// <summary>The vehicles that come up first, of all of them.</summary>
    public async Task<Dictionary<Guid, StoredVehicle>> LoadAsync(
        Guid clubId, IEnumerable<DigestCandidates> all, CancellationToken stop)
    {
        var ids = all.SelectMany(places => places.Deferred.Concat(places.First)).OfType<Guid>().ToHashSet();
        return ids.Count == 0
            ? []
            : (await StoredVehicle.LoadAsync(db, clubId, ids, stop)).ToDictionary(stored => stored.Vehicle!.Id);
    }

    /// <param name="storedVehicles">From <see cref="LoadAsync"/>; what else comes up is read by itself.</param>
    public async Task<NightChoice> ReadAsync(
        DigestCandidates at, IReadOnlyDictionary<Guid, StoredVehicle> storedVehicles, CancellationToken stop)
    {
        var subjects = at.Places.Values.ToDictionary(place => place.SubjectId, place => place.Subject);
        Dictionary<Guid, DigestItem> items = [];

        // A deferral can end by distance before its day, which only the whole answer knows.
        await WorkOutAsync(at.Deferred, at, storedVehicles, subjects, items, stop);
        while (true)
        {
            var choice = DigestSelection.Choose(at.Day, subjects.Values, at.Told, at.Cap);
            var wanted = Wanted(choice, at.Places, items);
            if (choice.SaysNothing || wanted.Count == 0)
            {
                return new(choice, items, await GoneAsync(at.Told, stop));
            }

            await WorkOutAsync(wanted, at, storedVehicles, subjects, items, stop);
        }
    }

    private static HashSet<Guid?> Wanted(
        DigestChoice choice, Dictionary<Guid, DigestCandidate> places, Dictionary<Guid, DigestItem> items) =>
        choice.SaysNothing ? []
        : choice.Lines.Concat(choice.Unknowns)
            .Concat(choice.DeferralsEnding)
            .Select(telling => telling.Subject.SubjectId)
            .Concat(choice.MovedOff).Where(id => !items.ContainsKey(id)).Select(id => places[id].VehicleId).ToHashSet();

    private static async Task<Dictionary<Guid, DigestCandidate>> PlacesAsync(
        IQueryable<SubjectState> rows, IQueryable<SubjectState> everyState, DigestScope reach, Dictionary<Guid,
            PreviousTelling> told,
        CancellationToken stop)
    {
        var places = await reach.Open(rows)
            .Select(s =>
                new DigestCandidate(
                    s.SubjectId, s.VehicleId, s.PartKind, s.State, s.Certainty, s.Force, s.Hazard, s.DueEarliest))
            .ToDictionaryAsync(place => place.SubjectId, stop);
        foreach (var ids in told.Where(t => t.Value.State != DueState.InLife && !places.ContainsKey(t.Key))
            .Select(t => t.Key)
            .Chunk(500))
        {
            foreach (var place in await everyState.Where(s => ids.Contains(s.SubjectId))
                .Select(s => new DigestCandidate(
                    s.SubjectId, s.VehicleId, s.PartKind, s.State, s.Certainty, s.Force, s.Hazard,
                    s.DueEarliest)).ToListAsync(stop))
            {
                places.Add(place.SubjectId, place);
            }
        }

        return places;
    }

    /// <summary>What this person was last shown about each subject by a message that arrived or may still
    /// arrive.</summary>
    private async Task<Dictionary<Guid, PreviousTelling>> ToldAsync(
        Member member, DigestKind kind, DateOnly day, CancellationToken stop)
    {
        var shown = from notice in db.Notices.AsNoTracking()
                    join digest in db.Digests on new { notice.ClubId, Id = notice.DigestId } equals new
                    {
                        digest.ClubId,
                        digest.Id
                    }
                    where digest.MemberId == member.Id && digest.Kind == kind
                        && digest.State != SendState.Dead && digest.LocalDate < day && notice.Shown
                    orderby digest.LocalDate
                    select new
                    {
                        notice.SubjectId,
                        notice.State,
                        notice.Certainty,
                        notice.Force,
                        digest.LocalDate,
                        notice.Times,
                    };
        Dictionary<Guid, PreviousTelling> told = [];
        await foreach (var line in shown.AsAsyncEnumerable().WithCancellation(stop))
        {
            told[line.SubjectId] = new(line.State, line.Certainty, line.LocalDate, line.Times) { Force = line.Force };
        }

        return told;
    }

    private async Task<HashSet<Guid?>> DeferredAsync(
        Dictionary<Guid, DigestCandidate> places, CancellationToken stop)
    {
        _deferred ??= (await db.Deferrals.AsNoTracking().Where(d => d.EndedAt == null)
            .Select(d => d.ComponentId ?? d.ServiceTaskId).ToListAsync(stop)).OfType<Guid>().ToList();
        return [.. _deferred.Where(places.ContainsKey).Select(id => places[id].VehicleId)];
    }

    private async Task WorkOutAsync(
        HashSet<Guid?> vehicleIds,
        DigestCandidates at,
        IReadOnlyDictionary<Guid, StoredVehicle> loaded,
        Dictionary<Guid, DigestSubject> subjects,
        Dictionary<Guid, DigestItem> items,
        CancellationToken stop)
    {
        if (vehicleIds.Count == 0)
        {
            return;
        }

        var (member, clubId) = (at.Member, at.Member.ClubId);
        _conventions ??= await OwnConventions.OfAsync(db, clubId, stop);
        List<StoredVehicle> storedVehicles = [
            .. vehicleIds.OfType<Guid>().Where(loaded.ContainsKey).Select(id => loaded[id])];
        if (vehicleIds.OfType<Guid>().Where(id => !loaded.ContainsKey(id)).ToList() is { Count: > 0 } others)
        {
            storedVehicles.AddRange(await StoredVehicle.LoadAsync(db, clubId, others, stop));
        }

        if (vehicleIds.Contains(null))
        {
            storedVehicles.Add(await StoredVehicle.LoadShelfAsync(db, clubId, stop));
        }

        // Their own cars need no owner's name, unless they stand among those of others.
        var owners = await OwnersAsync(
            storedVehicles.Select(stored => stored.Vehicle?.MemberId)
                .OfType<Guid>()
                .Where(id => at.Kind == DigestKind.Officer || id != member.Id), stop);
        foreach (var stored in storedVehicles)
        {
            var owner = stored.Vehicle?.MemberId is { } ownerId ? owners.GetValueOrDefault(ownerId) : null;
            foreach (var asked in DueQuestions.For(stored, at.Day, at.Day, _conventions)
                .Where(asked => at.Places.ContainsKey(asked.SubjectId)))
            {
                DigestItem item = new(
                    asked.SubjectId, DigestCandidate.KindOf(asked.PartKind), DueAssessment.Assess(asked.Question),
                    stored.Vehicle?.Name, stored.Vehicle?.Id,
                    asked.Position, owner);
                items[asked.SubjectId] = item;
                subjects[asked.SubjectId] = item.Subject;
            }
        }

        // Taken off between the two looks at the database: it is another night's matter.
        foreach (var lost in at.Places.Values.Where(place =>
            vehicleIds.Contains(place.VehicleId) && !items.ContainsKey(place.SubjectId)))
        {
            subjects.Remove(lost.SubjectId);
        }
    }

    private async Task<Dictionary<Guid, string>> OwnersAsync(
        IEnumerable<Guid> memberIds, CancellationToken stop)
    {
        var ids = memberIds.Distinct().ToList();
        return ids.Count == 0
            ? []
            : await db.Members.AsNoTracking()
                .Where(m => ids.Contains(m.Id))
                .ToDictionaryAsync(m => m.Id, m => m.Name, stop);
    }

    /// <summary>The new part in the place of an old one is another subject; the old one leaves the list by
    /// going.</summary>
    private async Task<IReadOnlyList<(Guid SubjectId, string Text)>> GoneAsync(
        Dictionary<Guid, PreviousTelling> told, CancellationToken stop)
    {
        List<(Guid SubjectId, string Text)> gone = [];
        foreach (var ids in told.Where(t => t.Value.State != DueState.InLife).Select(t => t.Key).Chunk(500))
        {
            var parts = await db.Components.AsNoTracking()
                .Where(c => ids.Contains(c.Id) && c.Place == ComponentPlace.Discarded)
                .OrderBy(c => c.DiscardedOn).ThenBy(c => c.Id)
                .Select(c => new { c.Id, c.PartKind, c.Position, c.DiscardedOn }).ToListAsync(stop);
            gone.AddRange(parts.Select(part => (
                part.Id,
                $"{DigestCandidate.KindOf(part.PartKind).Name}"
                    + $"{(part.Position is { } position ? $" ({position})" : "")}: "
                    + $"discarded on {part.DiscardedOn:yyyy-MM-dd}.")));
        }

        return gone;
    }
}
