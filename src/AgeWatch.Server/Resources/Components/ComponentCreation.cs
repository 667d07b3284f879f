using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

internal static class ComponentCreation
{
    public static async Task<Results<TaggedCreated<ComponentReply>, Problem>> OnVehicle(
        Guid vehicleId, Body<ComponentRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.Vehicles.AsNoTracking()
            .SingleOrDefaultAsync(v => v.Id == vehicleId, stop) is not { } vehicle)
        {
            return Problems.NotFound();
        }

        var component = New(body.Value, caller, clock);
        component.Place = ComponentPlace.Fitted;
        component.VehicleId = vehicleId;
        return await SaveAsync(component, vehicle, body.Value, caller, db, writer, clock, stop);
    }

    public static Task<Results<TaggedCreated<ComponentReply>, Problem>> OnShelf(
        Body<ComponentRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        var component = New(body.Value, caller, clock);
        component.Place = ComponentPlace.Shelf;
        return SaveAsync(component, null, body.Value, caller, db, writer, clock, stop);
    }

    public static async Task<Problem?> ObstacleAsync(
        ComponentRequest wanted, Component component, AgeWatchContext db, CancellationToken stop) =>
        PartKindCheck.Objection(wanted.PartKind) is { } objection ? Problems.Invalid([objection])
        : wanted.Reference is { } reference && await db.Components.AnyAsync(
            c => c.Reference == reference && c.Id != component.Id, stop)
            ? Problems.Conflict($"Another part has the reference \"{reference}\".")
        : null;

    private static async Task<Results<TaggedCreated<ComponentReply>, Problem>> SaveAsync(
        Component component, Vehicle? vehicle, ComponentRequest wanted, Caller caller,
        AgeWatchContext db, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        var errors = await EvidenceRules.ErrorsAsync(wanted.Evidence ?? [], vehicle, caller, db, writer, stop);
        errors.AddRange(ComponentRecord.Check(wanted.ToRecord(isOnVehicle: vehicle is not null, wasOnVehicle: false))
            .At(JsonAt.Root));
        if (PartKindCheck.Objection(wanted.PartKind) is { } objection)
        {
            errors.Insert(0, objection);
        }

        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        if (await ObstacleAsync(wanted, component, db, stop) is { } obstacle)
        {
            return obstacle;
        }

        var (evidence, fittings) = Add(db, component, vehicle, wanted, clock);
        await writer.SaveAsync(caller.ClubId, [component.VehicleId], stop);
        return Reply.Created(
            $"/v1/components/{component.Id}", component, ComponentReply.From(component, evidence, fittings));
    }

    /// <summary>The part with its evidence and its present fitting; nothing is saved yet.</summary>
    internal static (List<EvidenceItem> Evidence, List<Fitting> Fittings) Add(
        AgeWatchContext db, Component component, Vehicle? vehicle, ComponentRequest wanted, TimeProvider clock)
    {
        db.Components.Add(component);
        List<EvidenceItem> evidence = [.. (wanted.Evidence ?? [])
            .Where(e => e.Kind != EvidenceKind.Fitted).Select(e => EvidenceRules.ToEntity(e, component, clock))];
        db.Evidence.AddRange(evidence);
        List<Fitting> fittings = [];
        if (vehicle is not null)
        {
            var fitted = wanted.Evidence?.FirstOrDefault(e => e.Kind == EvidenceKind.Fitted);
            Fitting fitting = new()
            {
                ClubId = component.ClubId,
                Id = Guid.CreateVersion7(clock.GetUtcNow()),
                ComponentId = component.Id,
                VehicleId = vehicle.Id,
                Position = wanted.Position,
                NotedBy = fitted?.NotedBy,
                RecordedAt = component.CreatedAt,
            };
            fitting.SetFitted(fitted?.On, fitted?.Odometer, fitted?.Hours);
            fittings.Add(fitting);
            db.Fittings.Add(fitting);
        }

        return (evidence, fittings);
    }

    internal static Component New(ComponentRequest wanted, Caller caller, TimeProvider clock)
    {
        var now = clock.GetUtcNow();
        Component component = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(now),
            PartKind = wanted.PartKind,
            CreatedAt = now.UtcDateTime,
        };
        wanted.WriteTo(component, now.UtcDateTime);
        return component;
    }
}
