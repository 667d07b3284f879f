using AgeWatch.Server.Calculations;
using AgeWatch.Server.Components;
using AgeWatch.Server.Demo;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Due;
using AgeWatch.Server.Imports;
using AgeWatch.Server.Marks;
using AgeWatch.Server.Members;
using AgeWatch.Server.Nights;
using AgeWatch.Server.PartKinds;
using AgeWatch.Server.Services;
using AgeWatch.Server.StatusLists;
using AgeWatch.Server.Vehicles;
using AgeWatch.Server.WalkRounds;

namespace AgeWatch.Server;

/// <summary>Every resource of the API and what its handlers need.</summary>
internal static class Resources
{
    public static void AddResources(this IServiceCollection services)
    {
        services.AddHttpContextAccessor();
        services.AddScoped<Ledger>().AddScoped<Recompute>();
        services.AddScoped<Import>().AddScoped<DemoRun>();
    }

    public static void MapResources(this IEndpointRouteBuilder v1)
    {
        v1.MapVehicles();
        v1.MapOdometers();
        v1.MapInstruments();
        v1.MapHours();
        v1.MapPeriods();
        v1.MapUsualDistances();
        v1.MapComponents();
        v1.MapServiceTasks();
        v1.MapMembers();
        v1.MapKeys();
        v1.MapDue();
        v1.MapStatusLists();
        v1.MapWalkRounds();
        v1.MapDueCalculation();
        v1.MapUsageCalculation();
        v1.MapMarkCalculations();
        v1.MapPartKinds();
        v1.MapMarkConventions();
        v1.MapImports();
        v1.MapNightRuns();
        v1.MapDigests();
    }
}
