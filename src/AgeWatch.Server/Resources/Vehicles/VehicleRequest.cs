using System.ComponentModel;
using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>A vehicle as it is sent in.</summary>
[OptionalMembers]
internal sealed record VehicleRequest
{
    [StringLength(200, MinimumLength = 1), OneLine]
    public required string Name { get; init; }

    public required DistanceUnit DistanceUnit { get; init; }

    [DefaultValue(VehicleKind.Car)]
    public required VehicleKind Kind { get; init; } = VehicleKind.Car;

    /// <summary>The day, month or year in which it was built; absent: not known.</summary>
    public required DateSpan? Built { get; init; }

    /// <summary>ISO 3166-1 alpha-2: whose law holds.</summary>
    [RegularExpression("[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")]
    public required string? Country { get; init; }

    /// <summary>First registration.</summary>
    public required DateOnly? RegisteredOn { get; init; }

    public required Guid? MemberId { get; init; }

    [StringLength(100, MinimumLength = 1), OneLine]
    public required string? Reference { get; init; }

    [StringLength(32), OneLine]
    public required string? Registration { get; init; }

    [StringLength(64), OneLine]
    public required string? Chassis { get; init; }

    [DefaultValue(StoragePlace.Unknown)]
    public required StoragePlace Storage { get; init; } = StoragePlace.Unknown;

    /// <summary>What the owner says it runs in a year.</summary>
    public required WireDistance? DeclaredPerYear { get; init; }

    /// <summary>The part of the year in which it is driven.</summary>
    public required WireSeason? Season { get; init; }

    /// <summary>Sold or scrapped: the record stays, nobody is warned.</summary>
    public required DateOnly? GoneOn { get; init; }

    [StringLength(4000)]
    public required string? Notes { get; init; }

    /// <summary>Whether and how the temperatures on record shorten the life of its parts; absent: they do
    /// not.</summary>
    public required WireHeatAgeing? HeatAgeing { get; init; }

    public static VehicleRequest From(Vehicle v) => new()
    {
        Name = v.Name,
        DistanceUnit = v.DistanceUnit,
        Kind = v.Kind,
        Built = v.Built,
        Country = v.Country,
        RegisteredOn = v.RegisteredOn,
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
    };

    public void WriteTo(Vehicle v, DateTime now)
    {
        v.Name = Name;
        v.DistanceUnit = DistanceUnit;
        v.Kind = Kind;
        v.SetBuilt(Built);
        v.Country = Country;
        v.RegisteredOn = RegisteredOn;
        v.MemberId = MemberId;
        v.Reference = Reference;
        v.Registration = Registration;
        v.Chassis = Chassis;
        v.Storage = Storage;
        v.DeclaredMetresPerYear = DeclaredPerYear is { } declared
            ? (long)decimal.Round(declared.ToDistance().Kilometres * 1000m)
            : null;
        v.SeasonFrom = Season?.From;
        v.SeasonTo = Season?.To;
        v.GoneOn = GoneOn;
        v.Notes = Notes;
        v.HeatCounts = HeatAgeing?.Counts ?? false;

        // Each towards the shorter life: stored, it must not look safer.
        v.HeatEnergy = HeatAgeing is { } heat ? (int)decimal.Ceiling(heat.ActivationEnergy * 1000m) : null;
        v.HeatSpread = (int)decimal.Ceiling((HeatAgeing?.Spread ?? 0) * 1000m);
        v.HeatReference = (int)decimal.Floor((HeatAgeing?.ReferenceCelsius ?? 0) * 1000m);
        v.HeatSource = HeatAgeing?.Source;
        v.UpdatedAt = now;
    }

    public VehicleRecord ToRecord() => new()
    {
        Built = Built,
        RegisteredOn = RegisteredOn,
        DeclaredPerYear = DeclaredPerYear?.Value,
    };
}
