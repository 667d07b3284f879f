using System.Collections.Frozen;
using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Usage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Answers;

/// <summary>One subject of a stored vehicle and the question to be asked about it.</summary>
internal sealed record SubjectQuestion(
    Guid SubjectId, SubjectKind SubjectKind, string PartKind, string? Position, DueQuestion Question);

/// <summary>From what is stored to what Core is asked.</summary>
internal static class DueQuestions
{
    private static readonly FrozenDictionary<string, KindRules> Rules = PartCatalogue.BuiltIn.All
        .ToFrozenDictionary(kind => kind.Key, kind => KindRules.From(kind, PartCatalogue.BuiltIn));

    /// <param name="asOf">The day asked about.</param>
    /// <param name="knownOn">The club's today: facts dated later are set aside.</param>
    /// <param name="wanted">Ids of the subjects asked about; null: all. The others still tell how far the vehicle
    /// ran.</param>
    public static IReadOnlyList<SubjectQuestion> For(
        StoredVehicle stored,
        DateOnly asOf,
        DateOnly knownOn,
        IReadOnlyList<MarkConvention> conventions,
        int warningDays = 60,
        IReadOnlySet<Guid>? wanted = null)
    {
        var vehicle = stored.Vehicle is null ? VehicleFacts.Unknown : VehicleOf(stored);
        var (components, tasks) = (stored.Components, stored.Tasks);
        var subjects = new DueSubject[components.Count + tasks.Count];
        for (var i = 0; i < subjects.Length; i++)
        {
            subjects[i] = i < components.Count
                ? ComponentOf(
                    components[i], stored, vehicle, wanted?.Contains(components[i].Row.Id) ?? true ? conventions : null,
                    new(asOf, knownOn))
                : TaskOf(tasks[i - components.Count], stored);
        }

        if (stored.Vehicle is not null)
        {
            vehicle = WithShownHours(vehicle, subjects);
        }

        // Parts on the shelf were never on one vehicle: what one of them ran says nothing of another.
        var usage = stored.Vehicle is null ? null : UsageModel.For(vehicle.Usage, subjects, knownOn);
        List<SubjectQuestion> asked = new(wanted is null ? subjects.Length : 1);
        for (var i = 0; i < subjects.Length; i++)
        {
            var isPart = i < components.Count;
            var (id, kind, place) = isPart
                ? (components[i].Row.Id, components[i].Row.PartKind, components[i].Row.Position)
                : (tasks[i - components.Count]
                    .Row.Id, tasks[i - components.Count]
                    .Row.PartKind, tasks[i - components.Count]
                    .Row.Label);
            if (wanted?.Contains(id) ?? true)
            {
                asked.Add(new(id, isPart ? SubjectKind.Component : SubjectKind.ServiceTask, kind, place, new()
                {
                    AsOf = asOf,
                    KnownOn = knownOn,
                    WarningDays = warningDays,
                    Kind = KindOf(kind),
                    Vehicle = vehicle,
                    Subject = subjects[i],
                    Usage = usage,
                }));
            }
        }

        return asked;
    }

    /// <summary>How far a vehicle went, by all that is on record of it.</summary>
    public static UsageModel UsageModelOf(StoredVehicle stored, DateOnly knownOn)
    {
        var vehicle = VehicleOf(stored);
        return UsageModel.For(
            vehicle.Usage,
            [
                .. stored.Components.Select(c => ComponentOf(c, stored, vehicle, null, new(knownOn, knownOn))),
                .. stored.Tasks.Select(t => TaskOf(t, stored)),
            ],
            knownOn);
    }

    /// <summary>The meter is the vehicle's: what it showed for one part tells of the others too.</summary>
    private static VehicleFacts WithShownHours(VehicleFacts vehicle, DueSubject[] subjects)
    {
        HoursReading[] shown = [.. subjects.SelectMany(subject => subject.ShownHours)];
        return shown.Length == 0
            ? vehicle
            : vehicle with { HoursReadings = [.. vehicle.HoursReadings.Concat(shown).Distinct()] };
    }

    /// <summary>A kind that a newer catalogue no longer has keeps its subjects visible: they are unknown, never
    /// good.</summary>
    private static KindRules KindOf(string key) =>
        Rules.GetValueOrDefault(key) ?? new KindRules { Key = key, Hazard = HazardClass.Catastrophic };

    public static VehicleFacts VehicleOf(StoredVehicle stored)
    {
        var v = stored.Vehicle!;
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
            Usage = UsageOf(stored),
            Exposure = Stays.ExposureOf(stored),
            HoursReadings = [.. stored.Hours.Select(r => new HoursReading(r.ReadOn, r.Thousandths / 1000m))],
        };
    }

    public static UsageFacts UsageOf(StoredVehicle stored)
    {
        var (instruments, names) = (stored.Instruments, stored.InstrumentNames);
        return new UsageFacts
        {
            Instruments = [.. instruments.Select((one, i) => new Odometer
            {
                Id = names[i],
                Unit = one.Unit,
                Digits = one.Digits,
                FittedOn = one.FittedOn,
                RemovedOn = one.RemovedOn,
            })],
            Readings = [.. stored.Readings.Select(ShownBy)],
            Season = stored.Vehicle is { SeasonFrom: { } from, SeasonTo: { } to }
                ? new Season(DayOfYear(from), DayOfYear(to))
                : null,
            Standing = [.. stored.Periods.Where(p => p.Kind == VehiclePeriodKind.Standing)
                .Select(p => new StandingPeriod(p.FromOn, p.UntilOn))],
            PlannedTrips = [.. stored.Periods.Where(p => p.Kind == VehiclePeriodKind.Trip).Select(p => new PlannedTrip(
                p.FromOn, p.UntilOn ?? p.FromOn, new Distance((p.Metres ?? 0) / 1000m)))],
            DeclaredPerYear = stored.Vehicle?.DeclaredMetresPerYear is { } metres ? new Distance(metres / 1000m) : null,

            // What its owner says stands before what the club takes for usual.
            FleetPerYear = stored is { Vehicle.DeclaredMetresPerYear: null, UsualMetresPerYear: { } usual }
                ? new Distance(usual / 1000m)
                : null,
        };

        ShownDistance ShownBy(OdometerReading reading)
        {
            var i = 0;
            while (instruments[i].Id != reading.InstrumentId)
            {
                i++;
            }

            return new(reading.ReadOn, reading.Thousandths / 1000m, instruments[i].Unit, names[i]);
        }
    }

    private static MonthDay DayOfYear(string text) => new(
        int.Parse(text.AsSpan(0, 2), CultureInfo.InvariantCulture),
        int.Parse(text.AsSpan(3, 2), CultureInfo.InvariantCulture));

    /// <param name="conventions">Null: nothing is asked about it, so its marks need not be read, which is the dear
    /// part.</param>
    private static ComponentFacts ComponentOf(
        StoredComponent component, StoredVehicle stored, VehicleFacts vehicle,
            IReadOnlyList<MarkConvention>? conventions,
        Stays.Days days)
    {
        FittingHistory history = new(Stays.Until(component.Fittings, days));
        var current = history.Current;
        DateSpan? Built(Guid vehicleId) =>
            vehicleId == stored.Vehicle?.Id
                ? vehicle.Built
                : component.Elsewhere?.GetValueOrDefault(vehicleId)?.Vehicle!.Built;
        var first = history.FirstVehicleId is { } firstId && firstId != stored.Vehicle?.Id
            ? vehicle with { Built = Built(firstId) }
            : vehicle;
        var fitted = current?.FittedOn is { } fittedOn
            ? new Evidence
            {
                Kind = EvidenceKind.Fitted,
                On = fittedOn,
                Odometer = Shown(fittedOn, current.FittedThousandths, current.FittedUnit, stored),
                Hours = FittingDistances.Hours(current.FittedHours),
                NotedBy = current.NotedBy,
                NotedOn = DateOnly.FromDateTime(current.RecordedAt),
            }
            : null;
        var rows = component.Evidence;
        var evidence = rows.Count == 0 && fitted is null ? [] : new Evidence[rows.Count + (fitted is null ? 0 : 1)];
        for (var i = 0; i < rows.Count; i++)
        {
            evidence[i] = EvidenceOf(rows[i], component.Row, first, conventions, stored, history);
        }

        if (fitted is not null)
        {
            evidence[^1] = fitted;
        }

        return new ComponentFacts
        {
            Original = component.Row.Original,
            Evidence = evidence,
            Stays = history.All.Count == (current is null ? 0 : 1)
                ? []
                : [.. history.All.Select(f => Stays.Of(
                    f, stored, component.Elsewhere?.GetValueOrDefault(f.VehicleId), days.KnownOn))],
            Findings = FindingsOf(component.Findings, stored, history),
            OwnLimits = LimitsOf(component.Limits),
            Deferral = DeferralOf(component.Deferrals, stored),
        };
    }

    private static ServiceTaskFacts TaskOf(StoredTask task, StoredVehicle stored) => new()
    {
        Done = [.. task.Records.Select(r => new DoneEvent
        {
            On = r.DoneOn,
            Odometer = Shown(r.DoneOn, r.Thousandths, r.Unit, stored),
            Hours = FittingDistances.Hours(r.Hours),
            DoneBy = r.NotedBy,
            WasPutOff = WasPutOff(task, r.DoneOn),
        })],
        Findings = FindingsOf(task.Findings, stored),
        OwnLimits = LimitsOf(task.Limits),
        Deferral = DeferralOf(task.Deferrals, stored),
    };

    /// <summary>A decision to run past the limit was made since the time before.</summary>
    private static bool WasPutOff(StoredTask task, DateOnly doneOn)
    {
        var before = task.Records.Where(r => r.DoneOn < doneOn).Max(r => (DateOnly?)r.DoneOn);
        return task.Deferrals.Any(d => d.DecidedOn <= doneOn && !(d.DecidedOn <= before));
    }

    private static Evidence EvidenceOf(
        EvidenceSlice row, ComponentSlice component, VehicleFacts vehicle, IReadOnlyList<MarkConvention>? conventions,
        StoredVehicle stored, FittingHistory history)
    {
        var notedOn = DateOnly.FromDateTime(row.RecordedAt);
        var isElsewhere = row.On is { } day && history.WasElsewhere(day, stored.Vehicle?.Id) is true;
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
            // What another vehicle showed says nothing of this one's use.
            Odometer = row.On is { } on && !isElsewhere ? Shown(on, row.Thousandths, row.Unit, stored) : null,
            Hours = isElsewhere ? null : FittingDistances.Hours(row.Hours),
            NotedBy = row.NotedBy,
            NotedOn = notedOn,
        };
        if (conventions is null || row.Text is not { } text)
        {
            return evidence;
        }

        var question = MarkEvidence.Question(
            text, row.Convention, row.On ?? notedOn, PartCatalogue.BuiltIn.Find(component.PartKind), vehicle,
            component.Original, null)
            with
        { Triangle = row.Triangle.ToYesNo() };
        return evidence.Read(MarkReader.Read(question, conventions), row.Convention);
    }

    /// <param name="history">Where a part has been; null for a task, which is where its vehicle is.</param>
    private static IReadOnlyList<Finding> FindingsOf(
        IReadOnlyList<InspectionFinding> rows, StoredVehicle stored, FittingHistory? history = null) =>
        rows.Count == 0 ? [] : [.. rows.Select(row => history?.WasElsewhere(row.FoundOn, stored.Vehicle?.Id) is true
            ? FindingOf(row, stored) with { Odometer = null, Hours = null }
            : FindingOf(row, stored))];

    private static IReadOnlyList<Limit> LimitsOf(IReadOnlyList<OwnLimit> rows) =>
        rows.Count == 0 ? [] : [.. rows.Select(LimitOf)];

    private static Finding FindingOf(InspectionFinding f, StoredVehicle stored) => new()
    {
        On = f.FoundOn,
        Grade = f.Grade,
        Sign = f.Sign,
        Measured = f.MeasuredThousandths is { } value && f.Unit is { } unit
            ? new Measurement(value / 1000m, unit, f.Quantity)
            : null,
        Odometer = Shown(f.FoundOn, f.OdometerThousandths, f.OdometerUnit, stored),
        Hours = FittingDistances.Hours(f.Hours),
        Note = f.Note,
        FoundBy = f.FoundBy,
    };

    private static Limit LimitOf(OwnLimit l) => new()
    {
        Level = l.Level,
        From = l.Anchor,
        Months = l.Months,
        Distance = l.Metres is { } metres ? new Distance(metres / 1000m) : null,
        DistanceUnit = l.Unit ?? DistanceUnit.Kilometre,
        Hours = FittingDistances.Hours(l.Hours),
        LastDay = l.LastDay,
        EndRule = l.EndRule,
        ValidFrom = l.ValidFrom,
        Tag = l.Tag,
        Reference = l.Reference,
        NotedBy = l.NotedBy,
        Reason = l.Reason,
        ReviewOn = l.ReviewOn,
    };

    private static Deferral? DeferralOf(IReadOnlyList<GrantedDeferral> rows, StoredVehicle stored) =>
        rows.Count > 0 && rows.OrderBy(d => d.DecidedOn).ThenBy(d => d.Id).Last() is { } d
            ? new Deferral
            {
                Reason = d.Reason,
                Person = d.Person,
                DecidedOn = d.DecidedOn,
                UntilOn = d.UntilOn,
                UntilShown = Shown(d.DecidedOn, d.UntilThousandths, d.UntilUnit, stored),
            }
            : null;

    // Named when only one odometer could have shown it; else Core asks.
    internal static ShownDistance? Shown(DateOnly on, long? thousandths, DistanceUnit? unit, StoredVehicle stored)
    {
        if (thousandths is not { } value || unit is not { } shownIn)
        {
            return null;
        }

        var only = default(string?);
        var possible = 0;
        for (var i = 0; i < stored.Instruments.Count; i++)
        {
            var one = stored.Instruments[i];
            if (one.Unit == shownIn && !(one.FittedOn > on) && !(one.RemovedOn < on))
            {
                only = stored.InstrumentNames[i];
                possible++;
            }
        }

        return new ShownDistance(on, value / 1000m, shownIn, possible == 1 ? only : null);
    }
}
