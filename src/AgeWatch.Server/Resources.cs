using AgeWatch.Server.Feeds;
using AgeWatch.Server.Mail;
using AgeWatch.Server.Resources.Calculations;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Server.Resources.Conventions;
using AgeWatch.Server.Resources.Digests;
using AgeWatch.Server.Resources.Due;
using AgeWatch.Server.Resources.Events;
using AgeWatch.Server.Resources.Imports;
using AgeWatch.Server.Resources.Members;
using AgeWatch.Server.Resources.Nights;
using AgeWatch.Server.Resources.PartKinds;
using AgeWatch.Server.Resources.Services;
using AgeWatch.Server.Resources.StatusLists;
using AgeWatch.Server.Resources.Subscriptions;
using AgeWatch.Server.Resources.Vehicles;
using AgeWatch.Server.Resources.WalkRounds;
using AgeWatch.Server.Webhooks;

namespace AgeWatch.Server;

/// <summary>Every resource of the API, and the pages that are opened without a key.</summary>
internal static class AllResources
{
    /// <param name="app">For the addresses that a person opens from a message, without a key.</param>
    /// <param name="v1">For all others.</param>
    public static void MapResources(IEndpointRouteBuilder app, IEndpointRouteBuilder v1)
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
        v1.MapSubscriptions();
        v1.MapMailTests();
        v1.MapDeliveryReports();
        v1.MapWebhooks();
        v1.MapFeeds();
        v1.MapEvents();
        app.MapUnsubscribe();
        app.MapLooks();
    }
}
