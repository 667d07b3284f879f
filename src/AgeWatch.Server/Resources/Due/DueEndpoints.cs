using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Due;

internal static class DueEndpoints
{
    public static void MapDue(this IEndpointRouteBuilder v1)
    {
        v1.MapResource("/vehicles/{vehicleId:guid}/due", "Due", "What is due, when, and why.")
            .MapGet("", OfVehicle)
                .ForReaders()
                .Named("getVehicleDue", "Every part and task of a vehicle, worst first, with its reasons");
        v1.MapResource("/components/{id:guid}/due", "Due", "What is due, when, and why.")
            .MapGet("", OfComponent).ForReaders().Named("getComponentDue", "One component, with its reasons");
        v1.MapResource("/due", "Due", "What is due, when, and why.")
            .MapGet("", OfClub).ForReaders().Named("listDue", "The stored states across the club, worst hazard first");
    }

    private static async Task<Results<Tagged<VehicleDueReply>, Problem>> OfVehicle(
        Guid vehicleId, Query<DueQuery> query, Caller caller, AgeWatchContext db, TimeProvider clock,
        CancellationToken stop)
    {
        if (await VehicleFile.ToAsync(
            db, clock, caller.ClubId, vehicleId, stop, query.Value.AsOf) is not { } file)
        {
            return Problems.NotFound();
        }

        var asOf = query.Value.AsOf ?? file.Today;
        var items = file.QuestionsOn(asOf, query.Value.WarningDays)
            .Select(a => (Asked: a, Answer: DueAssessment.Assess(a.Question)))
            .OrderBy(item => WorstKey.Of(item.Answer, item.Asked.SubjectId), WorstFirst.Order)
            .ToList();
        return Reply.Of(new VehicleDueReply(
            vehicleId, file.Stored.Vehicle!.Name, asOf,
            [.. items.Select(item => SubjectDueReply.BesideOthers(item.Asked, item.Answer))],
            VehicleAskReply.Of(items.Select(item => (item.Asked.SubjectId, item.Answer))),
            NotRecordedReply.BesidesThe(items.Select(item => item.Asked.PartKind).Concat(file.Notes.Absent))));
    }

    private static async Task<Results<Tagged<SubjectDueReply>, Problem>> OfComponent(
        Guid id, Query<DueQuery> query, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        var component = await db.Components.Where(c => c.Id == id)
            .Select(c => new { c.VehicleId, c.Place, c.DiscardedOn }).SingleOrDefaultAsync(stop);
        if (component is null)
        {
            return Problems.NotFound();
        }

        var today = await writer.TodayAsync(caller.ClubId, stop);
        var asOf = query.Value.AsOf ?? today;
        if (component.Place == Storage.Components.ComponentPlace.Discarded
            && !(asOf < component.DiscardedOn && asOf < today))
        {
            return Problems.Conflict("The component was discarded; nothing can be due of it.");
        }

        var stored = asOf < today
            ? await ThenAsync(db, caller.ClubId, id, asOf, stop)
            : component.VehicleId is { } vehicleId
            ? (await StoredVehicle.LoadAsync(db, caller.ClubId, [vehicleId], stop))[0]
            : await StoredVehicle.LoadShelfAsync(db, caller.ClubId, [id], stop);
        var asked = DueQuestions.For(
            stored, asOf, today, await OwnConventions.OfAsync(db, caller.ClubId, stop), query.Value.WarningDays,
            new HashSet<Guid> { id })[0];
        return Reply.Of(SubjectDueReply.From(asked, DueAssessment.Assess(asked.Question)));
    }

    /// <summary>Where the part was on a past day.</summary>
    private static async Task<StoredVehicle> ThenAsync(
        AgeWatchContext db, Guid clubId, Guid id, DateOnly asOf, CancellationToken stop)
    {
        var vehicles = await db.Fittings
            .Where(f => f.ComponentId == id
                && (f.FittedOn == null || f.FittedOn <= asOf) && (f.TakenOffOn == null || f.TakenOffOn > asOf))
            .Select(f => f.VehicleId)
            .ToListAsync(stop);
        return vehicles is [var there, ..]
            ? (await StoredVehicle.LoadAsync(db, clubId, [there], stop, asOf: asOf))[0]
            : await StoredVehicle.LoadOffAsync(db, clubId, id, stop);
    }

    private static Task<Page<DueStateReply>> OfClub(
        Query<ClubDueQuery> query, PageQuery page, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var filter = query.Value;
        var states = db.DueStates.AsNoTracking();
        states = filter.State is { Count: > 0 } wanted ? states.Where(s => wanted.Contains(s.State)) : states;
        states = filter.Hazard is { Count: > 0 } hazards ? states.Where(s => hazards.Contains(s.Hazard)) : states;
        states = filter.Force is { } force ? states.Where(s => s.Force == force) : states;
        states = filter.VehicleId is { } vehicle ? states.Where(s => s.VehicleId == vehicle) : states;
        states = filter.PartKind is { } kind ? states.Where(s => s.PartKind == kind) : states;
        states = filter.MemberId is { } member
            ? states.Where(s =>
                db.Vehicles.Any(v => v.Id == s.VehicleId && v.MemberId == member))
            : states;
        return page.ReadAsync(
            states,
            Keyset.By((SubjectState s) => s.Rank).Then(s => s.SubjectId),
            s => new DueStateReply
            {
                SubjectId = s.SubjectId,
                Kind = s.SubjectKind,
                VehicleId = s.VehicleId,
                Vehicle = db.Vehicles.Where(v => v.Id == s.VehicleId)
                    .Select(v => v.Name)
                    .FirstOrDefault(),
                PartKind = s.PartKind,
                Hazard = s.Hazard,
                State = s.State,
                Certainty = s.Certainty,
                Force = s.Force,
                DueEarliest = s.DueEarliest,
                DueLatest = s.DueLatest == DateOnly.MaxValue ? null : s.DueLatest,
                Since = s.Since,
                NextChangeOn = s.NextChangeOn,
                AsOf = s.AsOf,
                RuleVersion = s.RuleVersion,
            },
            stop);
    }
}
