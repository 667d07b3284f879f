using AgeWatch.Core;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>The club's figure for a year's use: for vehicles with too few readings whose owner says nothing.</summary>
internal static class UsualDistanceEndpoints
{
    private const int VehiclesAtOnce = 500;

    public static void MapUsualDistances(this IEndpointRouteBuilder v1)
    {
        var usual = v1.MapResource(
            "/usual-distances", "Use",
            "When a vehicle stands and which trips are planned: both move the day on which a distance is reached.");
        usual.MapGet("", List)
            .ForReaders()
            .Named("listUsualDistances", "The club's figures for a year's use, one a kind of vehicle");
        usual.MapPost("", Create)
            .ForOfficers()
            .Named(
                "createUsualDistance",
                "Say what such vehicles do in a year, for those of which nothing better is known");
        usual.MapGet("/suggestions", Suggest)
            .ForReaders()
            .Named("suggestUsualDistances", "What the club's own vehicles do, as far as their readings tell");
        usual.MapGet("/{id:guid}", Get).ForReaders().Named("getUsualDistance", "One of the club's figures");
        usual.MapPatch("/{id:guid}", Patch)
            .ForOfficers()
            .Named("changeUsualDistance", "Change the club's figure; what rests on it is worked out again");
        usual.MapDelete("/{id:guid}", Delete)
            .ForOfficers()
            .Named("removeUsualDistance", "Remove the club's figure; what rested on it is unknown again");
    }

    private static Task<Page<UsualDistanceReply>> List(
        PageQuery page, AgeWatchContext db, CancellationToken stop) => page.ReadAsync(
        db.UsualDistances.AsNoTracking(), Keyset.By((UsualDistance u) => u.Id), u => UsualDistanceReply.From(u), stop);

    private static async Task<Results<TaggedCreated<UsualDistanceReply>, Problem>> Create(
        Body<UsualDistanceRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        var wanted = body.Value;
        if (await db.UsualDistances.AnyAsync(u => u.Kind == wanted.Kind, stop))
        {
            return Problems.Conflict(
                $"The club has a figure for the kind {WireNames.Of(wanted.Kind)} already; change that.");
        }

        UsualDistance usual = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            Kind = wanted.Kind
        };
        wanted.WriteTo(usual, clock.GetUtcNow().UtcDateTime);
        db.UsualDistances.Add(usual);
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.Created($"/v1/usual-distances/{usual.Id}", usual, UsualDistanceReply.From(usual));
    }

    private static async Task<Results<Tagged<UsualDistanceReply>, Problem>> Get(
        Guid id, AgeWatchContext db, CancellationToken stop) =>
        await FindAsync(id, db, stop) is { } usual
            ? Reply.Of(usual, UsualDistanceReply.From(usual))
            : Problems.NotFound();

    private static async Task<Results<Tagged<UsualDistanceReply>, Problem>> Patch(
        Guid id, Change<UsualDistanceRequest> change, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await FindAsync(id, db, stop) is not { } usual)
        {
            return Problems.NotFound();
        }

        var current = UsualDistanceRequest.From(usual);
        if (!change.TryApply(usual, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (wanted.Kind != usual.Kind)
        {
            return Problems.Invalid(
                "#/kind", "fixed", "It is the figure of this kind; give the other kind a figure of its own.");
        }

        if (wanted != current)
        {
            wanted.WriteTo(usual, clock.GetUtcNow().UtcDateTime);
            await writer.SaveAsync(usual.ClubId, stop);
        }

        return Reply.Of(usual, UsualDistanceReply.From(usual));
    }

    private static async Task<Results<NoContent, Problem>> Delete(
        Guid id, IfMatch ifMatch, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        if (await FindAsync(id, db, stop) is not { } usual)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(usual, out var problem))
        {
            return problem;
        }

        db.UsualDistances.Remove(usual);
        await writer.SaveAsync(usual.ClubId, stop);
        return TypedResults.NoContent();
    }

    private static async Task<UsualSuggestionsReply> Suggest(
        Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        var today = await writer.TodayAsync(caller.ClubId, stop);
        var unit = await db.Clubs.Select(c => c.DistanceUnit).SingleAsync(stop);
        List<(VehicleKind Kind, Distance PerYear)> known = [];
        for (var after = default(Guid?); ;)
        {
            var next = db.Vehicles.AsNoTracking();
            next = after is { } last ? next.Where(v => v.Id > last) : next;
            var vehicles = await next.OrderBy(v => v.Id).Take(VehiclesAtOnce).ToListAsync(stop);
            if (vehicles.Count == 0)
            {
                return new(
                    YearlyUse.HighShare,
                    [.. known.GroupBy(k => k.Kind, k => k.PerYear)
                        .OrderBy(of => of.Key)
                        .Select(of => UsualSuggestionReply.Of(of.Key, [.. of], unit))]);
            }

            after = vehicles[^1].Id;
            known.AddRange(await RatesAsync(vehicles, today, db, stop));
        }
    }

    /// <summary>The higher of the rates of each that has one of its own; one step tells too little.</summary>
    private static async Task<IEnumerable<(VehicleKind Kind, Distance PerYear)>> RatesAsync(
        List<Vehicle> vehicles, DateOnly today, AgeWatchContext db, CancellationToken stop)
    {
        var (clubId, ids) = (vehicles[0].ClubId, vehicles.ConvertAll(v => v.Id));
        var instruments = (await db.Instruments.AsNoTracking()
            .Where(i => ids.Contains(i.VehicleId))
            .ToListAsync(stop)).ToLookup(i => i.VehicleId);
        var readings = (await db.OdometerReadings.AsNoTracking()
            .Where(r => ids.Contains(r.VehicleId))
                .OrderBy(r => r.ReadOn)
                .ThenBy(r => r.Id)
                .ToListAsync(stop)).ToLookup(r => r.VehicleId);
        var periods = (await db.VehiclePeriods.AsNoTracking()
            .Where(p => ids.Contains(p.VehicleId))
            .ToListAsync(stop)).ToLookup(p => p.VehicleId);
        return
            from vehicle in vehicles
            where vehicle.GoneOn is not { } gone || gone > today
            let usage = UsageModel.Of(
                DueQuestions.UsageOf(StoredVehicle.OfUse(
                    vehicle, instruments[vehicle.Id], readings[vehicle.Id], periods[vehicle.Id])),
                today)
            where usage.Basis == RateBasis.Readings
            select (vehicle.Kind, usage.UsedPerYear!.Value);
    }

    private static Task<UsualDistance?> FindAsync(Guid id, AgeWatchContext db, CancellationToken stop) =>
        db.UsualDistances.SingleOrDefaultAsync(u => u.Id == id, stop);
}
