using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Resources.Components;
using AgeWatch.Server.Resources.Services;
using AgeWatch.Server.Resources.Vehicles;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using AgeWatch.Storage.WalkRounds;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <param name="SubjectId">Null: only noted.</param>
internal sealed record TakenAnswer(string PartKind, Guid? SubjectId, bool Created, WalkOutcome Outcome);

/// <summary>Turns the answers of one walk-round into parts, evidence, findings and records, by the rules that hold for
/// each by itself.</summary>
internal sealed class WalkAnswerWriter(
    Vehicle vehicle, WalkAnswersRequest walk, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock)
{
    private readonly List<FieldError> _errors = [];
    private readonly List<TakenAnswer> _taken = [];
    private Dictionary<Guid, Component> _components = [];
    private Dictionary<Guid, ServiceTask> _tasks = [];
    private DateOnly _today;

    /// <summary>The odometer reading that was made; null: none.</summary>
    public Guid? ReadingId { get; private set; }

    /// <summary>In the order of the answers.</summary>
    public IReadOnlyList<TakenAnswer> Taken => _taken;

    /// <summary>Nothing is saved here; with an error nothing must be.</summary>
    public async Task<IReadOnlyList<FieldError>> TakeAsync(CancellationToken stop)
    {
        _today = await writer.TodayAsync(caller.ClubId, stop);
        _components = await db.Components.Where(c => c.VehicleId == vehicle.Id)
            .ToDictionaryAsync(c => c.Id, stop);
        _tasks = await db.ServiceTasks.Where(t => t.VehicleId == vehicle.Id)
            .ToDictionaryAsync(t => t.Id, stop);
        _errors.AddRange(PastDay.Check(walk.SeenOn, _today, nameof(walk.SeenOn)).At(JsonAt.Root));

        // First, for what was fitted is held against the day the vehicle was built.
        TakeBuilt();
        await TakeReadingAsync(stop);
        foreach (var (index, answer) in walk.Answers.Index())
        {
            await TakeAsync(answer, JsonAt.Item("#/answers", index), stop);
        }

        return _errors;
    }

    private void TakeBuilt()
    {
        if (walk.Built is not { } built || built == vehicle.Built)
        {
            return;
        }

        if (vehicle.Built is { } known && (built.First < known.First || built.Last > known.Last))
        {
            _errors.Add(new(
                "already-known",
                $"It is on record as built {known}. Put that right at /v1/vehicles/{vehicle.Id}; here it can only be "
                    + $"said more narrowly.",
                "#/built"));
            return;
        }

        vehicle.SetBuilt(built);
        vehicle.UpdatedAt = clock.GetUtcNow().UtcDateTime;
    }

    private async Task TakeReadingAsync(CancellationToken stop)
    {
        if (walk.Odometer is not { } shown)
        {
            return;
        }

        var (reading, _, problem) = await OdometerEndpoints.AddAsync(
            db, caller.ClubId, vehicle.Id, new(walk.SeenOn, shown.Value, shown.Unit, shown.Instrument, walk.By), _today,
            clock, stop);
        ReadingId = reading?.Id;
        _errors.AddRange((problem?.Errors ?? [])
            .Where(e => e.Pointer != "#/on")
            .Select(e => e with { Pointer = $"#/odometer{e.Pointer?[1..]}" }));
    }

    private async Task TakeAsync(WalkAnswer answer, string at, CancellationToken stop)
    {
        if (answer.SubjectId is { } id)
        {
            if (_components.TryGetValue(id, out var component))
            {
                await AddToAsync(component, answer, at, stop);
            }
            else if (_tasks.TryGetValue(id, out var task))
            {
                AddTo(task, answer, at);
            }
            else
            {
                Complain(at, "subjectId", "no-such-subject", "The vehicle has no such part or service task.");
            }

            return;
        }

        if (PartCatalogue.BuiltIn.Find(answer.PartKind!) is not { } kind)
        {
            Complain(at, "partKind", UnknownKind.Code, UnknownKind.Detail(answer.PartKind!));
        }
        else if (answer.Outcome != WalkOutcome.Seen)
        {
            Note(kind, answer, at);
        }
        else if (kind.Form == PartForm.ServiceTask)
        {
            AddTask(kind, answer, at);
        }
        else
        {
            await AddComponentAsync(kind, answer, at, stop);
        }
    }

    private void Note(PartKind kind, WalkAnswer answer, string at)
    {
        if (answer.Outcome == WalkOutcome.Absent && IsRecorded(kind.Key))
        {
            Complain(
                at, "outcome", "recorded",
                "One of this kind is recorded on the vehicle. Take that off or remove it first; or say no-others.");
            return;
        }

        if (answer.Outcome == WalkOutcome.NoOthers && kind.Form == PartForm.ServiceTask)
        {
            Complain(at, "outcome", "not-a-part", "A service task has no others beside it.");
            return;
        }

        if (answer.Outcome == WalkOutcome.NoOthers
            && !IsRecorded(kind.Key)
            && !walk.Answers.Any(a => a.PartKind == kind.Key && a.Outcome == WalkOutcome.Seen))
        {
            Complain(
                at, "outcome", "not-recorded",
                "None of this kind is recorded on the vehicle, so there are none beside which there are no others. "
                    + "Say absent.");
            return;
        }

        AddNote(kind.Key, answer, null, null);
        _taken.Add(new(kind.Key, null, false, answer.Outcome));
    }

    private bool IsRecorded(string kind) =>
        _components.Values.Any(c => c.PartKind == kind) || _tasks.Values.Any(t => t.PartKind == kind);

    private async Task AddComponentAsync(PartKind kind, WalkAnswer answer, string at, CancellationToken stop)
    {
        if (answer.LastDoneOn is not null)
        {
            Complain(at, "lastDoneOn", "not-a-task", "A part is fitted; only a service task is done. Give fittedOn.");
        }

        if (_components.Values.FirstOrDefault(c => c.PartKind == kind.Key && c.Position == answer.Position) is { } twin)
        {
            Complain(
                at, "partKind", "already-recorded",
                $"The vehicle has one there already: answer for subjectId {twin.Id}, or give another position.");
        }

        CheckFitted(answer, at);
        await CheckMarkAsync(answer, at, stop);
        List<EvidenceRequest> evidence = [];
        if (answer.Mark is not null)
        {
            evidence.Add(MarkOf(answer));
        }

        if (answer.FittedOn is { } on)
        {
            evidence.Add(new(
                EvidenceKind.Fitted, on, NotedBy: walk.By, Odometer: answer.Odometer, Hours: answer.Hours));
        }

        ComponentRequest wanted = new(
            kind.Key, answer.Position, answer.Original, answer.Maker, answer.PartNumber, answer.Lot, Notes: answer.Note,
            Evidence: evidence);
        var component = ComponentCreation.New(wanted, caller, clock);
        component.Place = ComponentPlace.Fitted;
        component.VehicleId = vehicle.Id;
        ComponentCreation.Add(db, component, vehicle, wanted, clock);
        _components.Add(component.Id, component);
        AddFinding(answer, new(component, component.Id, null, vehicle.Id, kind.Key, ""), at);
        _taken.Add(new(kind.Key, component.Id, true, answer.Outcome));
    }

    private async Task AddToAsync(Component component, WalkAnswer answer, string at, CancellationToken stop)
    {
        if (answer.Outcome == WalkOutcome.CouldNotSee)
        {
            AddNote(component.PartKind, answer, component.Id, null);
        }

        if (answer.LastDoneOn is not null)
        {
            Complain(at, "lastDoneOn", "not-a-task", "A part is fitted; only a service task is done. Give fittedOn.");
        }

        await CheckMarkAsync(answer, at, stop);
        if (answer.Mark is not null)
        {
            db.Evidence.Add(EvidenceRules.ToEntity(MarkOf(answer), component, clock));
        }

        if (answer.FittedOn is { } on)
        {
            await SetFittedAsync(component, on, answer, at, stop);
        }
        else
        {
            CheckFitted(answer, at);
        }

        AddFinding(answer, new(component, component.Id, null, vehicle.Id, component.PartKind, ""), at);
        if (!answer.SaysNothing)
        {
            db.Touch(component, clock);
        }

        _taken.Add(new(component.PartKind, component.Id, false, answer.Outcome));
    }

    private async Task SetFittedAsync(
        Component component, DateOnly on, WalkAnswer answer, string at, CancellationToken stop)
    {
        var history = await db.HistoryAsync(component, stop);
        if (history.Current is not { FittedOn: null } fitting)
        {
            if (history.Current?.FittedOn != on)
            {
                Complain(at, "fittedOn", "already-known",
                    $"It is on record as fitted on {history.Current?.FittedOn:yyyy-MM-dd}. Put that right at "
                        + $"/v1/components/{component.Id}/fittings.");
            }

            return;
        }

        var wanted = FittingChange.From(
            fitting) with
        {
            On = on,
            Odometer = answer.Odometer,
            Hours = answer.Hours,
            NotedBy = walk.By
            ?? fitting.NotedBy
        };
        if (await FittingCorrection.ApplyAsync(fitting, wanted, component, history, db, writer, stop) is { } problem)
        {
            _errors.AddRange(problem.Errors.Select(e => e with
            {
                Pointer = JsonAt.Member(at, e.Pointer is "#/odometer" or "#/hours" ? e.Pointer[2..] : "fittedOn"),
            }));
        }
    }

    private void AddTask(PartKind kind, WalkAnswer answer, string at)
    {
        CheckTask(answer, at);
        if ((answer.Position, answer.Maker, answer.PartNumber, answer.Lot) is not (null, null, null, null)
            || answer.Original)
        {
            Complain(at, "partKind", "not-a-part", "A service task has no position, maker, number or lot.");
        }

        if (answer.LastDoneOn is null && answer.Finding is null && (answer.Odometer, answer.Hours) is (null, null))
        {
            Complain(
                at, "lastDoneOn", "missing",
                "Say when it was last done or what was found, or could-not-see when nothing tells.");
        }

        if (_tasks.Values.FirstOrDefault(t => t.PartKind == kind.Key) is { } twin)
        {
            Complain(
                at, "partKind", "already-recorded",
                $"The vehicle has this task already: answer for subjectId {twin.Id}.");
        }

        var now = clock.GetUtcNow();
        ServiceTask task = new()
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(now),
            VehicleId = vehicle.Id,
            PartKind = kind.Key,
            CreatedAt = now.UtcDateTime,
        };
        new ServiceTaskRequest(kind.Key, Notes: answer.Note).WriteTo(task, now.UtcDateTime);
        db.ServiceTasks.Add(task);
        _tasks.Add(task.Id, task);
        Record(task, answer, at);
        _taken.Add(new(kind.Key, task.Id, true, answer.Outcome));
    }

    private void AddTo(ServiceTask task, WalkAnswer answer, string at)
    {
        CheckTask(answer, at);
        if (answer.Outcome == WalkOutcome.CouldNotSee)
        {
            AddNote(task.PartKind, answer, null, task.Id);
        }

        Record(task, answer, at);
        if (!answer.SaysNothing)
        {
            db.Touch(task, clock);
        }

        _taken.Add(new(task.PartKind, task.Id, false, answer.Outcome));
    }

    private void CheckTask(WalkAnswer answer, string at)
    {
        if ((answer.Mark, answer.Convention, answer.Triangle) is not (null, null, null))
        {
            Complain(at, "mark", "not-a-part", "A service task has no mark.");
        }

        if (answer.FittedOn is not null)
        {
            Complain(at, "fittedOn", "not-a-part", "A service task is done, not fitted. Give lastDoneOn.");
        }

        DoneRecord done = new() { On = answer.LastDoneOn, Odometer = answer.Odometer?.Value, Hours = answer.Hours };
        _errors.AddRange(DoneRecord.Check(done, _today).At(at, member => member switch
        {
            nameof(DoneRecord.On) => "lastDoneOn",
            nameof(DoneRecord.Odometer) => "odometer",
            _ => "hours",
        }));
    }

    private void Record(ServiceTask task, WalkAnswer answer, string at)
    {
        if (answer.LastDoneOn is { } on)
        {
            ServiceRecordEndpoints.Add(db, task, new(on, answer.Odometer, walk.By, Hours: answer.Hours), clock);
        }

        AddFinding(answer, new(task, null, task.Id, vehicle.Id, task.PartKind, ""), at);
    }

    private void AddFinding(WalkAnswer answer, Subject subject, string at)
    {
        if (answer.Finding?.Request(walk.SeenOn, walk.By) is not { } finding)
        {
            return;
        }

        _errors.AddRange(FindingRecord.Check(finding.ToRecord(), _today)
            .Where(r => r.Member != nameof(FindingRecord.On))
            .At(JsonAt.Member(at, "finding")));
        db.Findings.Add(finding.ToEntity(caller.ClubId, subject, clock));
    }

    private void AddNote(string partKind, WalkAnswer answer, Guid? componentId, Guid? taskId) => db.WalkNotes.Add(new()
    {
        ClubId = caller.ClubId,
        Id = Guid.CreateVersion7(clock.GetUtcNow()),
        VehicleId = vehicle.Id,
        Kind = answer.Outcome switch
        {
            WalkOutcome.Absent => WalkNoteKind.Absent,
            WalkOutcome.NoOthers => WalkNoteKind.NoOthers,
            _ => WalkNoteKind.CouldNotSee,
        },
        PartKind = partKind,
        ComponentId = componentId,
        ServiceTaskId = taskId,
        SeenOn = walk.SeenOn,
        NotedBy = walk.By,
        Note = answer.Note,
        RecordedAt = clock.GetUtcNow().UtcDateTime,
    });

    private EvidenceRequest MarkOf(WalkAnswer answer) =>
        new(EvidenceKind.Mark, walk.SeenOn, answer.Mark, answer.Convention, walk.By, Triangle: answer.Triangle);

    private void CheckFitted(WalkAnswer answer, string at)
    {
        FittingRecord fitting = new()
        {
            On = answer.FittedOn,
            Odometer = answer.Odometer?.Value,
            Hours = answer.Hours,
        };
        _errors.AddRange(FittingRules.Refusals(fitting, vehicle, _today).At(at, member => member switch
        {
            nameof(FittingRecord.On) => "fittedOn",
            nameof(FittingRecord.Odometer) => "odometer",
            _ => "hours",
        }));
    }

    private async Task CheckMarkAsync(WalkAnswer answer, string at, CancellationToken stop)
    {
        if ((answer.Mark, answer.Convention, answer.Triangle) is (null, null, null))
        {
            return;
        }

        // When it was seen is said once, for the whole walk.
        var refused = await EvidenceRules.RefusalsAsync(MarkOf(answer), _today, caller, db, stop);
        _errors.AddRange(refused.Where(r => r.Member != nameof(EvidenceRecord.On)).At(at, member => member switch
        {
            nameof(EvidenceRecord.Text) => "mark",
            nameof(EvidenceRecord.Convention) => "convention",
            _ => "triangle",
        }));
    }

    private void Complain(string at, string member, string code, string detail) =>
        _errors.Add(new(code, detail, JsonAt.Member(at, member)));
}
