using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Http;
using AgeWatch.Server.Vehicles;

namespace AgeWatch.Server.Calculations;

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

/// <summary>One fact from which an age can be told.</summary>
/// <param name="On">For a mark or plate the day it was seen; else the day the evidence speaks of.</param>
/// <param name="Convention">Key of the mark convention; absent: every one that is possible is tried.</param>
internal sealed record WireEvidence(
    EvidenceKind Kind,
    DateOnly? On = null,
    [StringLength(MarkQuestion.MaxTextLength, MinimumLength = 1)] string? Text = null,
    [StringLength(64)] string? Convention = null,
    bool? Triangle = null,
    WireDistance? Odometer = null,
    [Range(0, 1_000_000)] decimal? Hours = null,
    [StringLength(200), OneLine] string? NotedBy = null) : IChecked
{
    public void Check(Complaints complaints)
    {
        var isMark = Kind is EvidenceKind.Mark or EvidenceKind.Plate;
        if (Kind == EvidenceKind.Presumption)
        {
            complaints.Add(
                nameof(Kind), "not-evidence", "The presumption is what holds without evidence; leave it out.");
        }

        if (Kind == EvidenceKind.Mark && Text is null)
        {
            complaints.Add(nameof(Text), "missing", "A mark needs its text as read.");
        }

        if (!isMark && On is null)
        {
            complaints.Add(nameof(On), "missing", "This kind of evidence needs its day.");
        }

        if (!isMark && (Text ?? Convention) is not null)
        {
            complaints.Add(Text is null
                ? nameof(Convention)
                : nameof(Text), "not-a-mark", "Only a mark or plate has a text and a convention.");
        }

        if (Odometer is not null && On is null)
        {
            complaints.Add(nameof(Odometer), "no-day", "An odometer without its day says nothing; give on too.");
        }
    }
}

/// <param name="Quantity">What was measured; may be absent when the kind has only one threshold.</param>
internal sealed record WireMeasurement(
    [Range(-1_000_000, 1_000_000)] decimal Value,
    [StringLength(16, MinimumLength = 1), OneLine] string Unit,
    [StringLength(100), OneLine] string? Quantity = null);

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

/// <summary>A limit of the owner's: read off a label, given by the maker, set by law. One number at least.</summary>
/// <param name="From">What months, distance and hours count from; not used with lastDay.</param>
/// <param name="LastDay">The last permitted day as printed; it is reached on the day after.</param>
internal sealed record WireLimit(
    LimitLevel Level,
    Tag Tag,
    AgeAnchor? From = null,
    [Range(1, 1200)] int? Months = null,
    WireDistance? Distance = null,
    [Range(1, 1_000_000)] decimal? Hours = null,
    DateOnly? LastDay = null,
    EndRule EndRule = EndRule.Day,
    [StringLength(500), OneLine] string? Reference = null,
    [StringLength(200), OneLine] string? NotedBy = null,
    DateOnly? ValidFrom = null) : IChecked
{
    public void Check(Complaints complaints)
    {
        if (Months is null && Distance is null && Hours is null && LastDay is null)
        {
            complaints.Add(nameof(Months), "no-number", "A limit needs months, distance, hours or lastDay.");
        }

        if (From is null && (Months is not null || Distance is not null || Hours is not null))
        {
            complaints.Add(
                nameof(From), "missing",
                "Months, distance and hours count from something: manufacture, fitting, fill, service or regulatory.");
        }

        if (From is AgeAnchor.Inspection or AgeAnchor.Printed or AgeAnchor.Finding)
        {
            complaints.Add(
                nameof(From), "only-in-answers", "Must be manufacture, fitting, fill, service or regulatory.");
        }

        if (Distance is { Value: 0 })
        {
            complaints.Add(nameof(Distance), "out-of-range", "Must be more than nothing.");
        }
    }

    public Limit ToLimit() => new()
    {
        Level = Level,
        From = From ?? AgeAnchor.Manufacture,
        Months = Months,
        Distance = Distance?.ToDistance(),
        DistanceUnit = Distance?.Unit ?? DistanceUnit.Kilometre,
        Hours = Hours,
        LastDay = LastDay,
        EndRule = EndRule,
        Tag = Tag,
        Reference = Reference,
        NotedBy = NotedBy,
        ValidFrom = ValidFrom,
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
