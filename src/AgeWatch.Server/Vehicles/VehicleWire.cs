using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Vehicles;

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
    WireHeatAgeing? HeatAgeing = null);

/// <summary>Ageing by heat after Arrhenius. It never lengthens a life: time in the cold counts as ordinary
/// time.</summary>
/// <param name="ActivationEnergy">Electronvolts, as published for the material; 1 eV is 96.485 kJ/mol or 23.06
/// kcal/mol.</param>
/// <param name="Source">Where it was published.</param>
/// <param name="Spread">Electronvolts above and below; the early day takes the higher end, the late day the
/// lower.</param>
/// <param name="ReferenceCelsius">The temperature at which limits are taken to hold.</param>
/// <param name="Counts">Whether the temperatures on record count. Off unless it is said.</param>
internal sealed record WireHeatAgeing(
    [Range(0.001, 3)] decimal ActivationEnergy,
    [StringLength(500, MinimumLength = 1), OneLine] string Source,
    [Range(0, 3)] decimal Spread = 0,
    [Range(-60, 60)] decimal ReferenceCelsius = 20,
    bool Counts = false) : IChecked
{
    public void Check(Complaints complaints)
    {
        if (string.IsNullOrWhiteSpace(Source))
        {
            complaints.Add(nameof(Source), "missing", "An activation energy counts only with its source.");
        }
    }

    /// <summary>Null: it does not count.</summary>
    public static ExposureFacts? Facts(WireHeatAgeing? heat, IEnumerable<ExposureSegment> segments) =>
        heat is { Counts: true }
        ? new()
        {
            Segments = [.. segments],
            ActivationEnergy = (double)heat.ActivationEnergy,
            Spread = (double)heat.Spread,
            Source = heat.Source,
            ReferenceCelsius = (double)heat.ReferenceCelsius,
        }
        : null;
}

/// <summary>First and last day of the season, both included, each <c>MM-DD</c>.</summary>
internal sealed record WireSeason(
    [RegularExpression("(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])", ErrorMessage = "Must be MM-DD.")] string From,
    [RegularExpression("(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])", ErrorMessage = "Must be MM-DD.")] string To)
        : IChecked
{
    public void Check(Complaints complaints)
    {
        CheckDay(nameof(From), From);
        CheckDay(nameof(To), To);

        void CheckDay(string member, string text)
        {
            // A leap year: 29 February is a day of some years.
            if (!DateOnly.TryParseExact($"2024-{text}", "yyyy-MM-dd", out _))
            {
                complaints.Add(member, "no-such-day", "There is no such day.");
            }
        }
    }
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
        v.Chassis, v.Storage, VehicleMapping.Declared(v), VehicleMapping.Season(v), v.GoneOn, v.Notes,
        VehicleMapping.HeatAgeing(v),
        v.CreatedAt, v.UpdatedAt);
}

internal static class VehicleMapping
{
    public static VehicleRequest ToRequest(this Vehicle v) => new(
        v.Name, v.DistanceUnit, v.Kind, v.Built, v.Country, v.RegisteredOn, v.MemberId, v.Reference, v.Registration,
        v.Chassis, v.Storage, Declared(v), Season(v), v.GoneOn, v.Notes, HeatAgeing(v));

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

    public static WireDistance? Declared(Vehicle v) =>
        v.DeclaredMetresPerYear is { } metres ? WireDistance.From(new Distance(metres / 1000m), v.DistanceUnit) : null;

    public static WireSeason? Season(Vehicle v) =>
        v.SeasonFrom is { } from && v.SeasonTo is { } to ? new WireSeason(from, to) : null;

    public static WireHeatAgeing? HeatAgeing(Vehicle v) =>
        v.HeatEnergy is { } energy && v.HeatSource is { } source
            ? new(energy / 1000m, source, v.HeatSpread / 1000m, v.HeatReference / 1000m, v.HeatCounts)
            : null;
}
