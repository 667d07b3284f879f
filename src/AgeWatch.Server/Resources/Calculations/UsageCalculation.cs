using System.ComponentModel;
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
[OptionalMembers]
internal sealed record UsageCalculationRequest : IChecked
{
    [MaxLength(500)]
    public required IReadOnlyList<OdometerReadingRequest> Readings { get; init; }

    public required IReadOnlyList<WireInstrument>? Instruments { get; init; }

    /// <summary>Distance left after the last reading.</summary>
    public required WireDistance? Remaining { get; init; }

    /// <summary>The day on which the facts are stated; absent: today in the club's zone.</summary>
    public required DateOnly? AsOf { get; init; }

    /// <summary>One-sided chance that the distance is covered before the early day.</summary>
    [Range(0.001, 0.499)]
    [DefaultValue(UsageModel.DefaultAlpha)]
    public required double Alpha { get; init; } = UsageModel.DefaultAlpha;

    public required WireSeason? Season { get; init; }

    [MaxLength(200)]
    public required IReadOnlyList<WireStanding>? Standing { get; init; }

    [MaxLength(200)]
    public required IReadOnlyList<WireTrip>? PlannedTrips { get; init; }

    public required WireDistance? DeclaredPerYear { get; init; }

    /// <summary>The most that can be believed for a day; absent: five times the own rate, at least 40
    /// km.</summary>
    public required WireDistance? MaxPerDay { get; init; }

    public void Check(FieldFaults faults) =>
        WireUsage.CheckInstruments(Instruments, faults, nameof(Instruments));
}

internal sealed record UsageCalculationReply
{
    /// <summary>All distance over all time; with a season, in a season.</summary>
    public required WireDistance? PerYear { get; init; }

    /// <summary>The same by the weighted median of all slopes.</summary>
    public required WireDistance? CrossCheckPerYear { get; init; }

    /// <summary>The rate behind the early day.</summary>
    public required WireDistance? UsedPerYear { get; init; }

    public required RateBasis Basis { get; init; }

    public required bool RatesDisagree { get; init; }

    /// <summary>early governs.</summary>
    public required ReachedOnReply? ReachedOn { get; init; }

    /// <summary>From the first to the last accepted reading; null when it can be read in several ways.</summary>
    public required WireDistance? Total { get; init; }

    /// <summary>Every way to read it, the least first.</summary>
    public required IReadOnlyList<WireDistance> Totals { get; init; }

    public required IReadOnlyList<AcceptedReadingReply> Accepted { get; init; }

    public required IReadOnlyList<string> Questions { get; init; }

    public required IReadOnlyList<UsageWarningReply> Warnings { get; init; }

    public static UsageCalculationReply From(UsageReply u, DistanceUnit unit) => new()
    {
        PerYear = Wire(u.PerYear, unit),
        CrossCheckPerYear = Wire(u.CrossCheckPerYear, unit),
        UsedPerYear = Wire(u.UsedPerYear, unit),
        Basis = u.Basis,
        RatesDisagree = u.RatesDisagree,
        ReachedOn = u.ReachedOn is { } reached ? new(reached.Early, reached.Likely, reached.Late) : null,
        Total = Wire(u.Total, unit),
        Totals = [.. u.Totals.Select(t => WireDistance.From(t, unit))],
        Accepted = [.. u.Distance.Readings.Select(r => new AcceptedReadingReply(
            r.On, r.Shown.Value, r.Shown.Unit, r.Shown.Instrument, WireDistance.From(r.Low, unit),
            WireDistance.From(r.High, unit), r.Rollovers))],
        Questions = u.Questions,
        Warnings = [.. u.Warnings.Select(w => new UsageWarningReply(w.Code, w.Text, w.Shown?.On, w.Shown?.Value))],
    };

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
