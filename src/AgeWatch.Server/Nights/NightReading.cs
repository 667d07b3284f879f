using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Due;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Due;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

/// <param name="Gone">Told of before, and since taken off or discarded.</param>
internal sealed record NightChoice(
    DigestChoice Choice, IReadOnlyDictionary<Guid, DigestItem> Items, IReadOnlyList<(Guid SubjectId, string Text)> Gone);

/// <summary>
/// Chooses what one person is told. The stored states say who has anything to be told at all; only the vehicles that come up
/// are worked out again with their reasons, so that a quiet night reads little.
/// </summary>
internal sealed class NightReading(AgeWatchContext db)
{
    public async Task<NightChoice> ReadAsync(
        Member member, DigestKind kind, NightReach reach, DateOnly day, int cap, CancellationToken stop)
    {
        var rows = reach.Rows(db, member, isOpen: true);
        var told = await ToldAsync(member, kind, day, stop);
        var places = await PlacesAsync(rows, reach.Rows(db, member, isOpen: false), reach, told, stop);
        var subjects = places.Values.ToDictionary(place => place.SubjectId, place => place.Subject);
        Dictionary<Guid, DigestItem> items = [];

        // A deferral can end by distance before its day, which only the whole answer knows.
        await WorkOutAsync(await DeferredAsync(member.ClubId, places, stop), day, kind, places, subjects, items, member, stop);
        while (true)
        {
            var choice = DigestSelection.Choose(day, subjects.Values, told, cap);
            var wanted = choice.Lines.Concat(choice.Unknowns).Concat(choice.DeferralsEnding).Select(telling => telling.Subject.SubjectId)
                .Concat(choice.MovedOff).Where(id => !items.ContainsKey(id)).Select(id => places[id].VehicleId).ToHashSet();
            if (choice.SaysNothing || wanted.Count == 0)
            {
                return new(choice, items, await GoneAsync(member.ClubId, told, stop));
            }

            await WorkOutAsync(wanted, day, kind, places, subjects, items, member, stop);
        }
    }

    private static async Task<Dictionary<Guid, Place>> PlacesAsync(
        IQueryable<DueStateRow> rows, IQueryable<DueStateRow> everyState, NightReach reach, Dictionary<Guid, Told> told, CancellationToken stop)
    {
        var places = await reach.Open(rows).Select(s => new Place(s.SubjectId, s.VehicleId, s.PartKind, s.State, s.Certainty, s.Hazard, s.DueEarliest))
            .ToDictionaryAsync(place => place.SubjectId, stop);
        foreach (var ids in told.Where(t => t.Value.State != DueState.InLife && !places.ContainsKey(t.Key)).Select(t => t.Key).Chunk(500))
        {
            foreach (var place in await everyState.Where(s => ids.Contains(s.SubjectId))
                .Select(s => new Place(s.SubjectId, s.VehicleId, s.PartKind, s.State, s.Certainty, s.Hazard, s.DueEarliest)).ToListAsync(stop))
            {
                places.Add(place.SubjectId, place);
            }
        }

        return places;
    }

    /// <summary>What this person was last shown about each subject by a message that arrived or may still arrive.</summary>
    private async Task<Dictionary<Guid, Told>> ToldAsync(Member member, DigestKind kind, DateOnly day, CancellationToken stop)
    {
        var shown = from notice in db.Notices.AsNoTracking()
                    join digest in db.Digests on new { notice.ClubId, Id = notice.DigestId } equals new { digest.ClubId, digest.Id }
                    where digest.ClubId == member.ClubId && digest.MemberId == member.Id && digest.Kind == kind
                        && digest.State != SendState.Dead && digest.LocalDate < day && notice.Shown
                    orderby digest.LocalDate
                    select new { notice.SubjectId, notice.State, notice.Certainty, digest.LocalDate, notice.Times };
        Dictionary<Guid, Told> told = [];
        await foreach (var line in shown.AsAsyncEnumerable().WithCancellation(stop))
        {
            told[line.SubjectId] = new(line.State, line.Certainty, line.LocalDate, line.Times);
        }

        return told;
    }

    private async Task<HashSet<Guid?>> DeferredAsync(Guid clubId, Dictionary<Guid, Place> places, CancellationToken stop)
    {
        var deferred = await db.Deferrals.AsNoTracking().Where(d => d.ClubId == clubId && d.EndedAt == null)
            .Select(d => d.ComponentId ?? d.ServiceTaskId).ToListAsync(stop);
        return [.. deferred.OfType<Guid>().Where(places.ContainsKey).Select(id => places[id].VehicleId)];
    }

    private async Task WorkOutAsync(
        HashSet<Guid?> vehicleIds,
        DateOnly day,
        DigestKind kind,
        Dictionary<Guid, Place> places,
        Dictionary<Guid, DigestSubject> subjects,
        Dictionary<Guid, DigestItem> items,
        Member member,
        CancellationToken stop)
    {
        if (vehicleIds.Count == 0)
        {
            return;
        }

        var conventions = await OwnConventions.OfAsync(db, member.ClubId, stop);
        var garages = await Garage.LoadAsync(db, member.ClubId, [.. vehicleIds.OfType<Guid>()], stop);
        if (vehicleIds.Contains(null))
        {
            garages.Add(await Garage.LoadShelfAsync(db, member.ClubId, stop));
        }

        var owners = await OwnersAsync(member.ClubId, garages, stop);
        foreach (var garage in garages)
        {
            // Their own cars need no owner's name, unless they stand among those of others.
            var owner = garage.Vehicle?.MemberId is { } ownerId && (kind == DigestKind.Officer || ownerId != member.Id) ? owners.GetValueOrDefault(ownerId) : null;
            foreach (var asked in Facts.Ask(garage, day, day, conventions).Where(asked => places.ContainsKey(asked.SubjectId)))
            {
                DigestItem item = new(
                    asked.SubjectId, KindOf(asked.PartKind), DueAssessment.Assess(asked.Question), garage.Vehicle?.Name, garage.Vehicle?.Id,
                    asked.Position, owner);
                items[asked.SubjectId] = item;
                subjects[asked.SubjectId] = item.Subject;
            }
        }

        // Taken off between the two looks at the database: it is another night's matter.
        foreach (var lost in places.Values.Where(place => vehicleIds.Contains(place.VehicleId) && !items.ContainsKey(place.SubjectId)))
        {
            subjects.Remove(lost.SubjectId);
        }
    }

    private Task<Dictionary<Guid, string>> OwnersAsync(Guid clubId, IEnumerable<Garage> garages, CancellationToken stop)
    {
        var ids = garages.Select(g => g.Vehicle?.MemberId).OfType<Guid>().Distinct().ToList();
        return db.Members.AsNoTracking().Where(m => m.ClubId == clubId && ids.Contains(m.Id)).ToDictionaryAsync(m => m.Id, m => m.Name, stop);
    }

    /// <summary>The new part in the place of an old one is another subject; the old one leaves the list by going.</summary>
    private async Task<IReadOnlyList<(Guid SubjectId, string Text)>> GoneAsync(
        Guid clubId, Dictionary<Guid, Told> told, CancellationToken stop)
    {
        List<(Guid SubjectId, string Text)> gone = [];
        foreach (var ids in told.Where(t => t.Value.State != DueState.InLife).Select(t => t.Key).Chunk(500))
        {
            var parts = await db.Components.AsNoTracking()
                .Where(c => c.ClubId == clubId && ids.Contains(c.Id) && c.Place == ComponentPlace.Discarded)
                .OrderBy(c => c.DiscardedOn).ThenBy(c => c.Id)
                .Select(c => new { c.Id, c.PartKind, c.Position, c.DiscardedOn }).ToListAsync(stop);
            gone.AddRange(parts.Select(part => (
                part.Id,
                $"{KindOf(part.PartKind).Name}{(part.Position is { } position ? $" ({position})" : "")}: discarded on {part.DiscardedOn:yyyy-MM-dd}.")));
        }

        return gone;
    }

    /// <summary>A kind that a newer catalogue no longer has is spoken of by its key and as the worst.</summary>
    private static PartKind KindOf(string key) => PartCatalogue.BuiltIn.Find(key) ?? PartCatalogue.BuiltIn.All[0] with
    {
        Key = key,
        Name = key,
        Form = PartForm.Component,
        Task = TaskType.Discard,
        Hazard = new() { Class = HazardClass.Catastrophic, Why = "Its kind is not known.", Evident = false, Warning = WarningTime.None },
        Cautions = [],
    };

    /// <summary>Where a subject stands by its stored state.</summary>
    private sealed record Place(
        Guid SubjectId, Guid? VehicleId, string PartKind, DueState State, Certainty Certainty, HazardClass Hazard, DateOnly? DueEarliest)
    {
        public DigestSubject Subject => new(SubjectId, State, Certainty, Hazard, DueEarliest, KindOf(PartKind).Hazard.Warning);
    }
}
