using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>The handlers that both kinds of period share.</summary>
internal sealed class Periods<TRequest, TReply>
    where TRequest : class
    where TReply : class
{
    public required VehiclePeriodKind Kind { get; init; }

    public required string Path { get; init; }

    public required Func<VehiclePeriod, DistanceUnit, TRequest> Request { get; init; }

    public required Func<VehiclePeriod, DistanceUnit, TReply> Reply { get; init; }

    public required Action<VehiclePeriod, TRequest> Write { get; init; }

    public async Task<Results<Page<TReply>, Problem>> List(
        Guid vehicleId, PageQuery page, AgeWatchContext db, CancellationToken stop) =>
        await UnitAsync(db, vehicleId, stop) is { } unit
            ? await page.ReadAsync(
                Of(db, vehicleId).AsNoTracking(), Keyset.By((VehiclePeriod p) => p.FromOn).Then(p => p.Id), p =>
                    Reply(p, unit), stop)
            : Problems.NotFound();

    public async Task<Results<TaggedCreated<TReply>, Problem>> Create(
        Guid vehicleId, Body<TRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await UnitAsync(db, vehicleId, stop) is not { } unit)
        {
            return Problems.NotFound();
        }

        VehiclePeriod period = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            VehicleId = vehicleId,
            Kind = Kind
        };
        Write(period, body.Value);
        db.VehiclePeriods.Add(period);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return Kernel.Http.Reply.Created($"/v1/vehicles/{vehicleId}/{Path}/{period.Id}", period, Reply(period, unit));
    }

    public async Task<Results<Tagged<TReply>, Problem>> Get(
        Guid vehicleId, Guid id, AgeWatchContext db, CancellationToken stop) =>
        await FindAsync(db, vehicleId, id, stop) is var (period, unit)
            ? Kernel.Http.Reply.Of(period, Reply(period, unit))
            : Problems.NotFound();

    public async Task<Results<Tagged<TReply>, Problem>> Patch(
        Guid vehicleId, Guid id, Change<TRequest> change, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await FindAsync(db, vehicleId, id, stop) is not var (period, unit))
        {
            return Problems.NotFound();
        }

        var current = Request(period, unit);
        if (!change.TryApply(period, current, out var wanted, out var problem))
        {
            return problem;
        }

        if (!wanted.Equals(current))
        {
            Write(period, wanted);
            await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        }

        return Kernel.Http.Reply.Of(period, Reply(period, unit));
    }

    public async Task<Results<NoContent, Problem>> Delete(
        Guid vehicleId, Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        if (await FindAsync(db, vehicleId, id, stop) is not var (period, _))
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(period, out var problem))
        {
            return problem;
        }

        db.VehiclePeriods.Remove(period);
        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        return TypedResults.NoContent();
    }

    private IQueryable<VehiclePeriod> Of(AgeWatchContext db, Guid vehicleId)
    {
        var kind = Kind;
        return db.VehiclePeriods.Where(p => p.VehicleId == vehicleId && p.Kind == kind);
    }

    private async Task<(VehiclePeriod Period, DistanceUnit Unit)?> FindAsync(
        AgeWatchContext db, Guid vehicleId, Guid id, CancellationToken stop) =>
        await UnitAsync(db, vehicleId, stop) is { } unit
        && await Of(db, vehicleId).SingleOrDefaultAsync(p => p.Id == id, stop) is { } period
            ? (period, unit)
            : null;

    private static Task<DistanceUnit?> UnitAsync(
        AgeWatchContext db, Guid vehicleId, CancellationToken stop) =>
        db.Vehicles.Where(v => v.Id == vehicleId)
            .Select(v => (DistanceUnit?)v.DistanceUnit)
            .SingleOrDefaultAsync(stop);
}
