using AgeWatch.Core;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Vehicles;

internal sealed record VehicleReply
{
    public required Guid Id { get; init; }

    public required string Name { get; init; }

    public required VehicleKind Kind { get; init; }

    public required DateSpan? Built { get; init; }

    public required string? Country { get; init; }

    public required DateOnly? RegisteredOn { get; init; }

    public required DistanceUnit DistanceUnit { get; init; }

    public required Guid? MemberId { get; init; }

    public required string? Reference { get; init; }

    public required string? Registration { get; init; }

    public required string? Chassis { get; init; }

    public required StoragePlace Storage { get; init; }

    public required WireDistance? DeclaredPerYear { get; init; }

    public required WireSeason? Season { get; init; }

    public required DateOnly? GoneOn { get; init; }

    public required string? Notes { get; init; }

    public required WireHeatAgeing? HeatAgeing { get; init; }

    public required DateTime CreatedAt { get; init; }

    public required DateTime UpdatedAt { get; init; }

    public static VehicleReply From(Vehicle v) => new()
    {
        Id = v.Id,
        Name = v.Name,
        Kind = v.Kind,
        Built = v.Built,
        Country = v.Country,
        RegisteredOn = v.RegisteredOn,
        DistanceUnit = v.DistanceUnit,
        MemberId = v.MemberId,
        Reference = v.Reference,
        Registration = v.Registration,
        Chassis = v.Chassis,
        Storage = v.Storage,
        DeclaredPerYear = VehicleColumns.Declared(v),
        Season = VehicleColumns.Season(v),
        GoneOn = v.GoneOn,
        Notes = v.Notes,
        HeatAgeing = VehicleColumns.HeatAgeing(v),
        CreatedAt = v.CreatedAt,
        UpdatedAt = v.UpdatedAt,
    };
}
