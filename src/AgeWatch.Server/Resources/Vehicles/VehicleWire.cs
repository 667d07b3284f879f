using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>A vehicle as it is sent in.</summary>
/// <param name="Built">The day, month or year in which it was built; absent: not known.</param>
/// <param name="Country">ISO 3166-1 alpha-2: whose law holds.</param>
/// <param name="RegisteredOn">First registration.</param>
/// <param name="DeclaredPerYear">What the owner says it runs in a year.</param>
/// <param name="Season">The part of the year in which it is driven.</param>
/// <param name="GoneOn">Sold or scrapped: the record stays, nobody is warned.</param>
/// <param name="HeatAgeing">Whether and how the temperatures on record shorten the life of its parts; absent: they do
/// not.</param>
internal sealed record VehicleRequest(
    [StringLength(200, MinimumLength = 1), OneLine] string Name,
    DistanceUnit DistanceUnit,
    VehicleKind Kind = VehicleKind.Car,
    DateSpan? Built = null,
    [RegularExpression(
        "[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")] string? Country = null,
    DateOnly? RegisteredOn = null,
    Guid? MemberId = null,
    [StringLength(100, MinimumLength = 1), OneLine] string? Reference = null,
    [StringLength(32), OneLine] string? Registration = null,
    [StringLength(64), OneLine] string? Chassis = null,
    StoragePlace Storage = StoragePlace.Unknown,
    WireDistance? DeclaredPerYear = null,
    WireSeason? Season = null,
    DateOnly? GoneOn = null,
    [StringLength(4000)] string? Notes = null,
    WireHeatAgeing? HeatAgeing = null)
{
    public VehicleRecord ToRecord() => new() { Built = Built, DeclaredPerYear = DeclaredPerYear?.Value };
}

internal sealed record VehicleReply(
    Guid Id,
    string Name,
    VehicleKind Kind,
    DateSpan? Built,
    string? Country,
    DateOnly? RegisteredOn,
    DistanceUnit DistanceUnit,
    Guid? MemberId,
    string? Reference,
    string? Registration,
    string? Chassis,
    StoragePlace Storage,
    WireDistance? DeclaredPerYear,
    WireSeason? Season,
    DateOnly? GoneOn,
    string? Notes,
    WireHeatAgeing? HeatAgeing,
    DateTime CreatedAt,
    DateTime UpdatedAt)
{
    public static VehicleReply From(Vehicle v) => new(
        v.Id, v.Name, v.Kind, v.Built, v.Country, v.RegisteredOn, v.DistanceUnit, v.MemberId, v.Reference,
        v.Registration,
        v.Chassis, v.Storage, StoredVehicle.Declared(v), StoredVehicle.Season(v), v.GoneOn, v.Notes,
        StoredVehicle.HeatAgeing(v),
        v.CreatedAt, v.UpdatedAt);
}

internal static class VehicleMapping
{
    public static VehicleRequest ToRequest(this Vehicle v) => new(
        v.Name, v.DistanceUnit, v.Kind, v.Built, v.Country, v.RegisteredOn, v.MemberId, v.Reference, v.Registration,
        v.Chassis, v.Storage, StoredVehicle.Declared(v), StoredVehicle.Season(v), v.GoneOn, v.Notes,
        StoredVehicle.HeatAgeing(v));

    public static void Take(this Vehicle v, VehicleRequest wanted, DateTime now)
    {
        v.Name = wanted.Name;
        v.DistanceUnit = wanted.DistanceUnit;
        v.Kind = wanted.Kind;
        v.SetBuilt(wanted.Built);
        v.Country = wanted.Country;
        v.RegisteredOn = wanted.RegisteredOn;
        v.MemberId = wanted.MemberId;
        v.Reference = wanted.Reference;
        v.Registration = wanted.Registration;
        v.Chassis = wanted.Chassis;
        v.Storage = wanted.Storage;
        v.DeclaredMetresPerYear = wanted.DeclaredPerYear is { } declared
            ? (long)decimal.Round(declared.ToDistance().Kilometres * 1000m)
            : null;
        v.SeasonFrom = wanted.Season?.From;
        v.SeasonTo = wanted.Season?.To;
        v.GoneOn = wanted.GoneOn;
        v.Notes = wanted.Notes;
        v.HeatCounts = wanted.HeatAgeing?.Counts ?? false;

        // Each towards the shorter life: stored, it must not look safer.
        v.HeatEnergy = wanted.HeatAgeing is { } heat ? (int)decimal.Ceiling(heat.ActivationEnergy * 1000m) : null;
        v.HeatSpread = (int)decimal.Ceiling((wanted.HeatAgeing?.Spread ?? 0) * 1000m);
        v.HeatReference = (int)decimal.Floor((wanted.HeatAgeing?.ReferenceCelsius ?? 0) * 1000m);
        v.HeatSource = wanted.HeatAgeing?.Source;
        v.UpdatedAt = now;
    }
}
