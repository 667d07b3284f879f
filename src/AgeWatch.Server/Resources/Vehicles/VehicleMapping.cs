using AgeWatch.Server.Answers;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Vehicles;

internal static class VehicleMapping
{
    public static VehicleRequest ToRequest(this Vehicle v) => new()
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
