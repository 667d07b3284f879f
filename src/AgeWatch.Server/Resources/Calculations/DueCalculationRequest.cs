using System.ComponentModel;
using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Server.Resources.Vehicles;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>Everything a due answer depends on. Nothing is stored.</summary>
[OptionalMembers]
internal sealed record DueCalculationRequest : IChecked
{
    /// <summary>The day asked about; absent: today in the club's zone.</summary>
    public required DateOnly? AsOf { get; init; }

    /// <summary>How many days before the earliest due day a part is due soon.</summary>
    [Range(0, 3650)]
    [DefaultValue(60)]
    public required int WarningDays { get; init; } = 60;

    public required WireVehicle? Vehicle { get; init; }

    public required WireComponent? Component { get; init; }

    public required WireServiceTask? ServiceTask { get; init; }

    /// <summary>Limits of the owner's; they stand before the catalogue's by law, label, maker, standard,
    /// practice.</summary>
    public required IReadOnlyList<OwnLimitRequest>? Limits { get; init; }

    public required IReadOnlyList<OdometerReadingRequest>? OdometerReadings { get; init; }

    public required IReadOnlyList<WireInstrument>? Instruments { get; init; }

    public required WireSeason? Season { get; init; }

    public required IReadOnlyList<WireStanding>? Standing { get; init; }

    public required IReadOnlyList<WireTrip>? PlannedTrips { get; init; }

    public required WireDistance? DeclaredPerYear { get; init; }

    /// <summary>How warm it was kept; it counts where heatAgeing says so.</summary>
    public required IReadOnlyList<WireTemperature>? Temperatures { get; init; }

    /// <summary>Whether and how heat shortens a life; absent: it does not.</summary>
    public required WireHeatAgeing? HeatAgeing { get; init; }

    public void Check(FieldFaults faults)
    {
        if ((Component is null) == (ServiceTask is null))
        {
            faults.Add(nameof(Component), "one-of", "Give either component or serviceTask.");
        }

        WireUsage.CheckInstruments(Instruments, faults, nameof(Instruments));
    }

    /// <remarks>What has not happened by the later of the two days proves nothing: no part can have been made
    /// later.</remarks>
    public DueQuestion ToQuestion(
        PartKind kind, DateOnly asOf, DateOnly today, IReadOnlyList<MarkConvention> own)
    {
        var knownOn = asOf > today ? asOf : today;
        IReadOnlyList<Limit> limits = [.. (Limits ?? []).Select(l => l.ToLimit())];
        var vehicle = new VehicleFacts
        {
            Built = Vehicle?.Built,
            Country = Vehicle?.Country,
            RegisteredOn = Vehicle?.RegisteredOn,
            DistanceUnit = Vehicle?.DistanceUnit ?? DistanceUnit.Kilometre,
            Storage = Vehicle?.Storage ?? [],
            Exposure = WireHeatAgeing.Facts(HeatAgeing, (Temperatures ?? []).Select(t => t.ToSegment())),
            Usage = WireUsage.Facts(
                Instruments, OdometerReadings, Season, Standing, PlannedTrips, DeclaredPerYear, null),
        };
        return new DueQuestion
        {
            AsOf = asOf,
            KnownOn = knownOn,
            Today = today,
            WarningDays = WarningDays,
            Kind = KindRules.From(kind, PartCatalogue.BuiltIn),
            Vehicle = vehicle,
            Subject = Component is { } component
                ? new ComponentFacts
                {
                    Original = component.Original,
                    Evidence = [.. (component.Evidence ?? [])
                        .Select(e => ToEvidence(e, component.Original, kind, vehicle, knownOn, own))],
                    Findings = [.. (component.Findings ?? []).Select(f => f.ToFinding())],
                    OwnLimits = limits,
                    Deferral = component.Deferral?.ToDeferral(),
                }
                : new ServiceTaskFacts
                {
                    Done = [.. (ServiceTask!.Done ?? []).Concat(ServiceTask.LastDone is { } last ? [last] : [])
                        .Select(d => d.ToEvent())],
                    Findings = [.. (ServiceTask.Findings ?? []).Select(f => f.ToFinding())],
                    OwnLimits = limits,
                    Deferral = ServiceTask.Deferral?.ToDeferral(),
                },
        };
    }

    private static Evidence ToEvidence(
        EvidenceRequest e, bool original, PartKind kind, VehicleFacts vehicle, DateOnly knownOn,
        IReadOnlyList<MarkConvention> own)
    {
        var evidence = new Evidence
        {
            Kind = e.Kind,
            On = e.On,
            Odometer = e.On is { } on ? e.Odometer?.ShownOn(on) : null,
            Hours = e.Hours,
            Text = e.Text,
            NotedBy = e.NotedBy,
        };
        if (e.Text is not { } text)
        {
            return evidence;
        }

        var question = MarkEvidence.Question(text, e.Convention, e.On, kind, vehicle, original, knownOn)
            with
        { Triangle = e.Triangle.ToYesNo() };
        return evidence.Read(MarkReader.Read(question, own), e.Convention);
    }
}
