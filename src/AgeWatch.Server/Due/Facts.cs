using System.Collections.Frozen;
using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Components;
using AgeWatch.Server.Vehicles;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Due;

/// <summary>One subject of a garage and the question to be asked about it.</summary>
internal sealed record Asked(Guid SubjectId, SubjectKind SubjectKind, string PartKind, string? Position, DueQuestion Question);

/// <summary>From what is stored to what Core is asked.</summary>
internal static class Facts
{
    private static readonly FrozenDictionary<string, KindRules> Rules = PartCatalogue.BuiltIn.All
        .ToFrozenDictionary(kind => kind.Key, kind => KindRules.From(kind, PartCatalogue.BuiltIn));

    /// <param name="asOf">The day asked about.</param>
    /// <param name="knownOn">The club's today: facts dated later are set aside.</param>
    /// <param name="wanted">Ids of the subjects asked about; null: all. The others still tell how far the vehicle ran.</param>
    public static IReadOnlyList<Asked> Ask(
        Garage garage,
        DateOnly asOf,
        DateOnly knownOn,
        IReadOnlyList<MarkConvention> conventions,
        int warningDays = 60,
        IReadOnlySet<Guid>? wanted = null)
    {
        bool IsWanted(Guid id) => wanted is null || wanted.Contains(id);
        var vehicle = garage.Vehicle is null ? VehicleFacts.Unknown : VehicleOf(garage);
        var components = garage.Components
            .Select(c => (c, Facts: ComponentOf(c, garage, vehicle, IsWanted(c.Row.Id) ? conventions : null))).ToList();
        var tasks = garage.Tasks.Select(t => (t, Facts: TaskOf(t, garage))).ToList();
        if (garage.Vehicle is not null)
        {
            // The meter is the vehicle's: what it showed for one part tells of the others too.
            vehicle = vehicle with
            {
                HoursReadings = [.. vehicle.HoursReadings
                    .Concat(components.SelectMany(c => c.Facts.ShownHours)).Concat(tasks.SelectMany(t => t.Facts.ShownHours)).Distinct()],
            };
        }

        // Parts on the shelf were never on one vehicle: what one of them ran says nothing of another.
        var usage = garage.Vehicle is null
            ? null
            : UsageModel.For(vehicle, components.Select(c => (DueSubject)c.Facts).Concat(tasks.Select(t => t.Facts)), knownOn);

        DueQuestion Question(string partKind, DueSubject subject) => new()
        {
            AsOf = asOf,
            KnownOn = knownOn,
            WarningDays = warningDays,
            Kind = KindOf(partKind),
            Vehicle = vehicle,
            Subject = subject,
            Usage = usage,
        };

        return
        [
            .. components.Where(c => IsWanted(c.c.Row.Id)).Select(c => new Asked(
                c.c.Row.Id, SubjectKind.Component, c.c.Row.PartKind, c.c.Row.Position, Question(c.c.Row.PartKind, c.Facts))),
            .. tasks.Where(t => IsWanted(t.t.Row.Id)).Select(t => new Asked(
                t.t.Row.Id, SubjectKind.ServiceTask, t.t.Row.PartKind, t.t.Row.Label, Question(t.t.Row.PartKind, t.Facts))),
        ];
    }

    /// <summary>A kind that a newer catalogue no longer has keeps its subjects visible: they are unknown, never good.</summary>
    private static KindRules KindOf(string key) =>
        Rules.GetValueOrDefault(key) ?? new KindRules { Key = key, Hazard = HazardClass.Catastrophic };

    public static VehicleFacts VehicleOf(Garage garage)
    {
        var v = garage.Vehicle!;
        return new VehicleFacts
        {
            Built = v.Built,
            Country = v.Country,
            RegisteredOn = v.RegisteredOn,
            DistanceUnit = v.DistanceUnit,
            Storage = v.Storage switch
            {
                StoragePlace.Unknown => [],
                StoragePlace.Heated => [StorageCondition.Heated],
                StoragePlace.Unheated => [StorageCondition.Unheated],
                StoragePlace.Outdoors => [StorageCondition.Outdoors],
            },
            Usage = UsageOf(garage),
            Exposure = WireHeatAgeing.Facts(VehicleMapping.HeatAgeing(v), garage.Periods
                .Where(p => p.Kind == VehiclePeriodKind.Temperature)
                .Select(p => new ExposureSegment(p.FromOn, p.UntilOn ?? DateOnly.MaxValue, (p.MilliCelsius ?? 0) / 1000d))),
            HoursReadings = [.. garage.Hours.Select(r => new HoursReading(r.ReadOn, r.Thousandths / 1000m))],
        };
    }

    public static UsageFacts UsageOf(Garage garage)
    {
        var units = garage.Instruments.ToDictionary(i => i.Id, i => i.Unit);
        return new UsageFacts
        {
            Instruments = [.. garage.Instruments.Select(i => new Odometer
            {
                Id = i.Id.ToString(),
                Unit = i.Unit,
                Digits = i.Digits,
                FittedOn = i.FittedOn,
                RemovedOn = i.RemovedOn,
            })],
            Readings = [.. garage.Readings.Select(r => new ShownDistance(r.ReadOn, r.Thousandths / 1000m, units[r.InstrumentId], r.InstrumentId.ToString()))],
            Season = garage.Vehicle is { SeasonFrom: { } from, SeasonTo: { } to } ? new Season(DayOfYear(from), DayOfYear(to)) : null,
            Standing = [.. garage.Periods.Where(p => p.Kind == VehiclePeriodKind.Standing).Select(p => new StandingPeriod(p.FromOn, p.UntilOn))],
            PlannedTrips = [.. garage.Periods.Where(p => p.Kind == VehiclePeriodKind.Trip).Select(p => new PlannedTrip(
                p.FromOn, p.UntilOn ?? p.FromOn, new Distance((p.Metres ?? 0) / 1000m)))],
            DeclaredPerYear = garage.Vehicle?.DeclaredMetresPerYear is { } metres ? new Distance(metres / 1000m) : null,

            // What its owner says stands before what the club takes for usual.
            FleetPerYear = garage is { Vehicle.DeclaredMetresPerYear: null, UsualMetresPerYear: { } usual } ? new Distance(usual / 1000m) : null,
        };
    }

    private static MonthDay DayOfYear(string text) => new(
        int.Parse(text.AsSpan(0, 2), CultureInfo.InvariantCulture), int.Parse(text.AsSpan(3, 2), CultureInfo.InvariantCulture));

    /// <param name="conventions">Null: nothing is asked about it, so its marks need not be read, which is the dear part.</param>
    private static ComponentFacts ComponentOf(
        StoredComponent component, Garage garage, VehicleFacts vehicle, IReadOnlyList<MarkConvention>? conventions)
    {
        FittingHistory history = new(component.Fittings);
        var current = history.Current;
        DateSpan? Built(Guid vehicleId) =>
            vehicleId == garage.Vehicle?.Id ? vehicle.Built : component.BuiltElsewhere.GetValueOrDefault(vehicleId);
        var first = history.FirstVehicleId is { } firstId ? vehicle with { Built = Built(firstId) } : vehicle;
        List<Evidence> evidence = [.. component.Evidence.Select(e => EvidenceOf(e, component.Row, first, conventions))];
        if (current?.FittedOn is { } fittedOn)
        {
            evidence.Add(new Evidence
            {
                Kind = EvidenceKind.Fitted,
                On = fittedOn,
                Odometer = Shown(fittedOn, current.FittedThousandths, current.FittedUnit, garage),
                Hours = FittingDistances.Hours(current.FittedHours),
                NotedBy = current.NotedBy,
                NotedOn = DateOnly.FromDateTime(current.RecordedAt),
            });
        }

        return new ComponentFacts
        {
            Original = component.Row.Original,
            Evidence = evidence,
            EarlierFittings = [.. history.All.Where(f => f != current).Select(f => Earlier(f, garage, Built(f.VehicleId)))],
            Findings = [.. component.Findings.Select(f => history.WasElsewhere(f.FoundOn, garage.Vehicle?.Id)
                ? FindingOf(f, garage) with { Odometer = null, Hours = null }
                : FindingOf(f, garage))],
            OwnLimits = [.. component.Limits.Select(LimitOf)],
            Deferral = DeferralOf(component.Deferrals, garage),
        };
    }

    private static ServiceTaskFacts TaskOf(StoredTask task, Garage garage) => new()
    {
        Done = [.. task.Records.Select(r => new DoneEvent
        {
            On = r.DoneOn,
            Odometer = Shown(r.DoneOn, r.Thousandths, r.Unit, garage),
            Hours = FittingDistances.Hours(r.Hours),
            DoneBy = r.NotedBy,
        })],
        Findings = [.. task.Findings.Select(f => FindingOf(f, garage))],
        OwnLimits = [.. task.Limits.Select(LimitOf)],
        Deferral = DeferralOf(task.Deferrals, garage),
    };

    private static Evidence EvidenceOf(
        EvidenceRow row, Component component, VehicleFacts vehicle, IReadOnlyList<MarkConvention>? conventions)
    {
        var evidence = new Evidence
        {
            Kind = row.Kind switch
            {
                EvidenceRowKind.Mark => EvidenceKind.Mark,
                EvidenceRowKind.Plate => EvidenceKind.Plate,
                EvidenceRowKind.Document => EvidenceKind.Document,
                EvidenceRowKind.Fill => EvidenceKind.Fill,
                EvidenceRowKind.Service => EvidenceKind.Service,
                EvidenceRowKind.Regulatory => EvidenceKind.Regulatory,
            },
            On = row.On,
            Text = row.Text,
            NotedBy = row.NotedBy,
            NotedOn = DateOnly.FromDateTime(row.RecordedAt),
        };
        return conventions is not null && row.Text is { } text
            ? evidence with
            {
                Readings = MarkEvidence.Readings(MarkReader.Read(
                    MarkEvidence.Question(
                        text, row.Convention, row.On ?? evidence.NotedOn, PartCatalogue.BuiltIn.Find(component.PartKind), vehicle, component.Original, null)
                    with
                    { Triangle = Calculations.MarkRequest.YesOrNo(row.Triangle) },
                    conventions)),
            }
            : evidence;
    }

    // What it ran elsewhere is the difference of two showings of one unit; anything else is not known, never zero.
    private static EarlierFitting Earlier(Fitting f, Garage garage, DateSpan? built) => new(
        f.FittedOn,
        f.TakenOffOn,
        f is { FittedThousandths: { } from, TakenOffThousandths: { } until, FittedUnit: { } unit } && unit == f.TakenOffUnit && until >= from
            ? Distance.Of((until - from) / 1000m, unit)
            : null,
        f is { FittedHours: { } begun, TakenOffHours: { } ended } && ended >= begun ? (ended - begun) / 1000m : null,
        VehicleBuilt: built,
        OnThisVehicle: f.VehicleId == garage.Vehicle?.Id);

    private static Finding FindingOf(FindingRow f, Garage garage) => new()
    {
        On = f.FoundOn,
        Grade = f.Grade,
        Sign = f.Sign,
        Measured = f.MeasuredThousandths is { } value && f.Unit is { } unit ? new Measurement(value / 1000m, unit, f.Quantity) : null,
        Odometer = Shown(f.FoundOn, f.OdometerThousandths, f.OdometerUnit, garage),
        Hours = FittingDistances.Hours(f.Hours),
        Note = f.Note,
        FoundBy = f.FoundBy,
    };

    private static Limit LimitOf(LimitRow l) => new()
    {
        Level = l.Level,
        From = l.Anchor,
        Months = l.Months,
        Distance = l.Metres is { } metres ? new Distance(metres / 1000m) : null,
        DistanceUnit = l.Unit ?? DistanceUnit.Kilometre,
        Hours = l.Hours,
        LastDay = l.LastDay,
        EndRule = l.EndRule,
        ValidFrom = l.ValidFrom,
        Tag = l.Tag,
        Reference = l.Reference,
        NotedBy = l.NotedBy,
    };

    private static Deferral? DeferralOf(IReadOnlyList<DeferralRow> rows, Garage garage) =>
        rows.OrderBy(d => d.DecidedOn).ThenBy(d => d.Id).LastOrDefault() is { } d
            ? new Deferral
            {
                Reason = d.Reason,
                Person = d.Person,
                DecidedOn = d.DecidedOn,
                UntilOn = d.UntilOn,
                UntilShown = Shown(d.DecidedOn, d.UntilThousandths, d.UntilUnit, garage),
            }
            : null;

    // Named when only one odometer could have shown it; else Core asks.
    private static ShownDistance? Shown(DateOnly on, long? thousandths, DistanceUnit? unit, Garage garage)
    {
        if (thousandths is not { } value || unit is not { } shownIn)
        {
            return null;
        }

        var possible = garage.Instruments
            .Where(i => i.Unit == shownIn && (i.FittedOn is null || i.FittedOn <= on) && (i.RemovedOn is null || on <= i.RemovedOn))
            .ToList();
        return new ShownDistance(on, value / 1000m, shownIn, possible is [var only] ? only.Id.ToString() : null);
    }
}
