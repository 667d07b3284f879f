using AgeWatch.Core.Marks;
using AgeWatch.Core.Records;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Server.Resources.Vehicles;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>What refuses facts that are sent along: the same as if they were to be stored.</summary>
/// <param name="Earliest">The earlier of today and the day asked about.</param>
/// <param name="Latest">The later of the two: a later day has not come in any case.</param>
internal sealed record SentFacts(DateOnly Earliest, DateOnly Latest)
{
    public static SentFacts Between(DateOnly asOf, DateOnly today) =>
        asOf < today ? new(asOf, today) : new(today, asOf);

    public IReadOnlyList<FieldError> Errors(DueCalculationRequest asked, IReadOnlyList<MarkConvention> own)
    {
        VehicleRecord vehicle = new()
        {
            Built = asked.Vehicle?.Built,
            RegisteredOn = asked.Vehicle?.RegisteredOn,
            DeclaredPerYear = asked.DeclaredPerYear?.Value,
        };
        return
        [
            .. VehicleRecord.Check(vehicle, Latest).At("#/vehicle"),
            .. Each(asked.Limits, "#/limits", (limit, here) =>
                LimitRecord.CheckReview(limit.ReviewOn, Latest).At(here)),
            .. Readings(asked.OdometerReadings, asked.Instruments, "#/odometerReadings"),
            .. asked.Component is { } component ? Component(component, asked.Vehicle?.Built, own)
                : Task(asked.ServiceTask!),
        ];
    }

    /// <param name="instruments">Null or empty: nothing is known of them.</param>
    public IEnumerable<FieldError> Readings(
        IReadOnlyList<OdometerReadingRequest>? readings, IReadOnlyList<WireInstrument>? instruments, string at)
    {
        IReadOnlyList<Odometer>? known = instruments is { Count: > 0 }
            ? [.. instruments.Select(i => i.ToOdometer())]
            : null;
        return Each(readings, at, (reading, here) =>
            OdometerReadingRecord.Check(reading.ToRecord(), known, Latest).At(here));
    }

    private IEnumerable<FieldError> Component(
        WireComponent component, Core.DateSpan? built, IReadOnlyList<MarkConvention> own)
    {
        const string At = "#/component";
        return
        [
            .. ComponentRecord.Check(component.ToRecord()).At(At),
            .. Each(component.Evidence, $"{At}/evidence", (evidence, here) => Evidence(evidence, here, built, own)),
            .. Condition(component.PartKind, component.Findings, component.Deferral, At),
        ];
    }

    private IEnumerable<FieldError> Evidence(
        EvidenceRequest evidence, string at, Core.DateSpan? built, IReadOnlyList<MarkConvention> own) =>
    [
        .. EvidenceRecord.Check(evidence.ToRecord(), Latest, key => own.Any(c => c.Key == key)).At(at),
        .. evidence.ToFitting() is { } fitting
            ? FittingRecord.Check(fitting, built, goneOn: null, Latest).At(at)
            : [],
    ];

    private IEnumerable<FieldError> Task(WireServiceTask task)
    {
        const string At = "#/serviceTask";
        return
        [
            .. task.LastDone is { } last ? DoneRecord.Check(last.ToRecord(), Latest).At($"{At}/lastDone") : [],
            .. Each(task.Done, $"{At}/done", (done, here) => DoneRecord.Check(done.ToRecord(), Latest).At(here)),
            .. Condition(task.PartKind, task.Findings, task.Deferral, At),
        ];
    }

    private IEnumerable<FieldError> Condition(
        string partKind, IReadOnlyList<FindingRequest>? findings, DeferralRequest? deferral, string at) =>
    [
        .. Each(findings, $"{at}/findings", (finding, here) =>
            FindingRecord.Check(finding.ToRecord(), Latest).At(here)),
        .. deferral is null
            ? []
            : DeferralRecord.Check(deferral.ToRecord(partKind), Earliest, Latest).At($"{at}/deferral"),
    ];

    private static IEnumerable<FieldError> Each<T>(
        IReadOnlyList<T>? items, string at, Func<T, string, IEnumerable<FieldError>> check) =>
        (items ?? []).Index().SelectMany(item => check(item.Item, JsonAt.Item(at, item.Index)));
}
