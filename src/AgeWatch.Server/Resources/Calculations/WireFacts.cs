using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>What is known of the vehicle.</summary>
/// <param name="Built">The day, month or year; absent or null: not known.</param>
internal sealed record WireVehicle(
    DateSpan? Built = null,
    [RegularExpression(
        "[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")] string? Country = null,
    DistanceUnit DistanceUnit = DistanceUnit.Kilometre,
    DateOnly? RegisteredOn = null,
    IReadOnlyList<StorageCondition>? Storage = null);

/// <summary>How warm it was kept from one day to another, both included.</summary>
/// <param name="Celsius">Mean kinetic temperature; an ordinary mean over warm and cold days reads too low.</param>
/// <param name="To">Absent: it goes on as it is.</param>
internal sealed record WireTemperature(DateOnly From, [Range(-60, 100)] decimal Celsius, DateOnly? To = null) : IChecked
{
    public void Check(Complaints complaints)
    {
        if (To < From)
        {
            complaints.Add(nameof(To), "before-from", "It cannot end before it starts.");
        }
    }

    public ExposureSegment ToSegment() => new(From, To ?? DateOnly.MaxValue, (double)Celsius);
}

/// <summary>What an inspection saw.</summary>
internal sealed record WireFinding(
    DateOnly On,
    FindingGrade Grade,
    [StringLength(200), OneLine] string? Sign = null,
    WireMeasurement? Measured = null,
    WireDistance? Odometer = null,
    [StringLength(4000)] string? Note = null,
    [StringLength(200), OneLine] string? FoundBy = null,
    [Range(0, 1_000_000)] decimal? Hours = null)
{
    public Finding ToFinding() => new()
    {
        On = On,
        Grade = Grade,
        Sign = Sign,
        Measured = Measured is { } m ? new Measurement(m.Value, m.Unit, m.Quantity) : null,
        Odometer = Odometer.ShownOn(On),
        Hours = Hours,
        Note = Note,
        FoundBy = FoundBy,
    };
}

/// <summary>A decision to run past a limit.</summary>
/// <param name="UntilOn">The last day it holds.</param>
internal sealed record WireDeferral(
    [StringLength(1000, MinimumLength = 1)] string Reason,
    [StringLength(200, MinimumLength = 1), OneLine] string Person,
    DateOnly UntilOn,
    WireDistance? UntilOdometer = null,
    DateOnly? DecidedOn = null)
{
    public Deferral ToDeferral() => new()
    {
        Reason = Reason,
        Person = Person,
        DecidedOn = DecidedOn,
        UntilOn = UntilOn,
        UntilShown = UntilOdometer.ShownOn(DecidedOn ?? UntilOn),
    };
}
