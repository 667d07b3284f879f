using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Resources.Vehicles;
using Microsoft.AspNetCore.Http.HttpResults;

namespace AgeWatch.Server.Resources.Calculations;

internal static class UsageCalculation
{
    public static void MapUsageCalculation(this IEndpointRouteBuilder v1) =>
        v1.MapResource(
            "/calculations", "Calculations",
            "The same rules as for stored cars, for facts sent along; nothing is stored.")
            .MapPost("/usage", Calculate).ForReaders()
            .Named("calculateUsage", "How far a vehicle goes, and when a distance is reached; nothing is stored");

    private static async Task<Results<Ok<UsageCalculationReply>, Problem>> Calculate(
        Body<UsageCalculationRequest> body, Caller caller, FactWriter writer, CancellationToken stop)
    {
        var asked = body.Value;
        var today = await writer.TodayAsync(caller.ClubId, stop);
        var asOf = asked.AsOf ?? today;
        List<FieldError> errors =
            [.. SentFacts.Between(asOf, today).Readings(asked.Readings, asked.Instruments, "#/readings")];
        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        var unit = asked.Remaining?.Unit ?? (asked.Readings is [var first, ..] ? first.Unit : DistanceUnit.Kilometre);
        var reply = UsageProjection.Project(new UsageRequest
        {
            Facts = WireUsage.Facts(
                asked.Instruments, asked.Readings, asked.Season, asked.Standing, asked.PlannedTrips,
                asked.DeclaredPerYear, asked.MaxPerDay),
            AsOf = asOf,
            Remaining = asked.Remaining?.ToDistance(),
            Alpha = asked.Alpha,
            Unit = unit,
        });
        return TypedResults.Ok(UsageCalculationReply.From(reply, unit));
    }
}

/// <summary>Odometer readings and how the vehicle is used.</summary>
/// <param name="Remaining">Distance left after the last reading.</param>
/// <param name="AsOf">The day on which the facts are stated; absent: today in the club's zone.</param>
/// <param name="Alpha">One-sided chance that the distance is covered before the early day.</param>
/// <param name="MaxPerDay">The most that can be believed for a day; absent: five times the own rate, at least 40
/// km.</param>
internal sealed record UsageCalculationRequest(
    [MaxLength(500)] IReadOnlyList<OdometerReadingRequest> Readings,
    IReadOnlyList<WireInstrument>? Instruments = null,
    WireDistance? Remaining = null,
    DateOnly? AsOf = null,
    [Range(0.001, 0.499)] double Alpha = UsageModel.DefaultAlpha,
    WireSeason? Season = null,
    [MaxLength(200)] IReadOnlyList<WireStanding>? Standing = null,
    [MaxLength(200)] IReadOnlyList<WireTrip>? PlannedTrips = null,
    WireDistance? DeclaredPerYear = null,
    WireDistance? MaxPerDay = null) : IChecked
{
    public void Check(Complaints complaints) =>
        WireUsage.CheckInstruments(Instruments, complaints, nameof(Instruments));
}

/// <param name="PerYear">All distance over all time; with a season, in a season.</param>
/// <param name="CrossCheckPerYear">The same by the weighted median of all slopes.</param>
/// <param name="UsedPerYear">The rate behind the early day.</param>
/// <param name="ReachedOn">early governs.</param>
/// <param name="Total">From the first to the last accepted reading; null when it can be read in several ways.</param>
/// <param name="Totals">Every way to read it, the least first.</param>
internal sealed record UsageCalculationReply(
    WireDistance? PerYear,
    WireDistance? CrossCheckPerYear,
    WireDistance? UsedPerYear,
    RateBasis Basis,
    bool RatesDisagree,
    ReachedOnReply? ReachedOn,
    WireDistance? Total,
    IReadOnlyList<WireDistance> Totals,
    IReadOnlyList<AcceptedReadingReply> Accepted,
    IReadOnlyList<string> Questions,
    IReadOnlyList<UsageWarningReply> Warnings)
{
    public static UsageCalculationReply From(UsageReply u, DistanceUnit unit) => new(
        Wire(u.PerYear, unit),
        Wire(u.CrossCheckPerYear, unit),
        Wire(u.UsedPerYear, unit),
        u.Basis,
        u.RatesDisagree,
        u.ReachedOn is { } reached ? new(reached.Early, reached.Likely, reached.Late) : null,
        Wire(u.Total, unit),
        [.. u.Totals.Select(t => WireDistance.From(t, unit))],
        [.. u.Distance.Readings.Select(r => new AcceptedReadingReply(
            r.On, r.Shown.Value, r.Shown.Unit, r.Shown.Instrument, WireDistance.From(r.Low, unit),
            WireDistance.From(r.High, unit), r.Rollovers))],
        u.Questions,
        [.. u.Warnings.Select(w => new UsageWarningReply(w.Code, w.Text, w.Shown?.On, w.Shown?.Value))]);

    private static WireDistance? Wire(Distance? distance, DistanceUnit unit) =>
        distance is { } d ? WireDistance.From(d, unit) : null;
}

internal sealed record ReachedOnReply(DateOnly? Early, DateOnly? Likely, DateOnly? Late);

/// <param name="Least">Least distance since the first accepted reading.</param>
/// <param name="Most">Most; greater than least where the drums can have wrapped more than once.</param>
internal sealed record AcceptedReadingReply(
    DateOnly On, decimal Value, DistanceUnit Unit, string? Instrument, WireDistance Least, WireDistance Most,
    int Rollovers);

internal sealed record UsageWarningReply(UsageWarningCode Code, string Text, DateOnly? On, decimal? Value);
