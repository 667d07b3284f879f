using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
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

/// <param name="AsOf">Any day, past or future, from the facts known now; absent: today in the club's zone.</param>
internal sealed record DueQuery(
    DateOnly? AsOf = null, [System.ComponentModel.DataAnnotations.Range(0, 3650)] int WarningDays = 60);

internal sealed record ClubDueQuery(
    IReadOnlyList<DueState>? State = null,
    IReadOnlyList<HazardClass>? Hazard = null,
    Force? Force = null,
    Guid? VehicleId = null,
    Guid? MemberId = null,
    string? PartKind = null);

/// <param name="Asks">What is to be answered about the vehicle itself, once for all items; their own questions stand
/// with them.</param>
/// <param name="NotRecorded">Usual kinds whose failure can kill and of which nothing is recorded: if the vehicle has
/// them, their age is unknown, not good.</param>
internal sealed record VehicleDueReply(
    Guid VehicleId, string Vehicle, DateOnly AsOf, IReadOnlyList<SubjectDueReply> Items,
    IReadOnlyList<VehicleAskReply> Asks, IReadOnlyList<NotRecordedReply> NotRecorded);

internal sealed record NotRecordedReply(string PartKind, string PartKindName, string Question)
{
    /// <summary>A short list must not pass for a sound car: what nobody wrote down or looked for in vain is named
    /// too.</summary>
    public static IReadOnlyList<NotRecordedReply> BesidesThe(IEnumerable<string> recordedKinds)
    {
        var recorded = recordedKinds.ToHashSet();
        return [.. PartCatalogue.BuiltIn.All
            .Where(kind => kind.Core && kind.Hazard.Class == HazardClass.Catastrophic && !recorded.Contains(kind.Key))
            .Select(kind => new NotRecordedReply(
                kind.Key, kind.Name,
                $"Does the vehicle have it? If so, nothing tells its age. Its date: {kind.Mark.Where}."))];
    }
}

internal sealed record SubjectDueReply(Guid Id, SubjectKind Kind, string? Position, DueReply Answer)
{
    public static SubjectDueReply From(SubjectQuestion asked, DueAnswer answer) =>
        new(asked.SubjectId, asked.SubjectKind, asked.Position, DueReply.From(answer, asked.PartKind));

    public static SubjectDueReply BesideOthers(SubjectQuestion asked, DueAnswer answer) =>
        new(asked.SubjectId, asked.SubjectKind, asked.Position, DueReply.BesideOthers(answer, asked.PartKind));
}

internal sealed record DueStateReply
{
    public required Guid SubjectId { get; init; }

    public required SubjectKind Kind { get; init; }

    public required Guid? VehicleId { get; init; }

    public required string? Vehicle { get; init; }

    public required string PartKind { get; init; }

    public required HazardClass Hazard { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>What stands behind the state; null: no limit does.</summary>
    public required Force? Force { get; init; }

    public required DateOnly? DueEarliest { get; init; }

    public required DateOnly? DueLatest { get; init; }

    public required DateOnly Since { get; init; }

    public required DateOnly? NextChangeOn { get; init; }

    public required DateOnly AsOf { get; init; }

    public required string RuleVersion { get; init; }
}
