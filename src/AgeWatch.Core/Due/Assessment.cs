using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>One question on its way to an answer.</summary>
internal sealed partial class Assessment
{
    private const int MonthsToBeOdd = 120;

    private readonly DueQuestion _question;
    private readonly DueTrail _trail;
    private readonly Birth _birth;
    private readonly ClockStarts _starts;
    private readonly IReadOnlyList<GradedFinding> _findings;
    private readonly IReadOnlyList<ExposureFacts> _heat;
    private readonly List<LimitWork> _limits;
    private UsageModel? _usage;
    private UsageModel? _hours;

    /// <param name="limits">Empty; it is filled on the way.</param>
    public Assessment(DueQuestion question, List<LimitWork> limits)
    {
        _question = question;
        _limits = limits;
        _trail = new(question.KnownOn);
        _birth = question.Subject is ComponentFacts component ? Birth.Of(component, question, _trail) : new();
        NoteWhatIsOdd(_birth);
        _starts = new(question, _birth, _trail);
        if (IsServiceTask)
        {
            var done = _starts.Of(AgeAnchor.Service);
            _birth = new()
            {
                Span = done.Days,
                Basis = done.Days is null
                ? null
                : done.Presumed
                ? EvidenceKind.Presumption
                : EvidenceKind.Service
            };
        }

        _heat = Exposure.Seen(question);
        _findings = Findings.Grade(question, WorkDoneOn(), _trail);
    }

    /// <summary>Says which readings were set aside and by what, and which part is far older than its vehicle.</summary>
    private void NoteWhatIsOdd(Birth birth)
    {
        if (birth.Remote.Count == 0 && birth.Readings.Count == 0)
        {
            return;
        }

        foreach (var group in birth.Remote.GroupBy(far => (far.Mark, far.Bound)))
        {
            var days = group.Select(far => far.Reading.Days).Distinct().ToArray();
            _trail.Note(new(DueNoteCode.ReadingRemote, group.Key.Mark, Detail: DueSentences.Several(days))
            {
                Bound = group.Key.Bound,
            });
        }

        if (birth is { Readings.Count: > 0, Span: { } born } && birth.VehicleBuilt is { } built
            && born.First.PlusMonthsClamped(MonthsToBeOdd) < built.First)
        {
            _trail.Note(new(DueNoteCode.OlderThanVehicle, birth.Evidence, birth.Readings[0].Days));
        }
    }

    private bool IsServiceTask => _question.Subject is ServiceTaskFacts;

    public DueAnswer Answer()
    {
        AddLimits();
        AddPrintedDays();
        Decide();
        Inspect();
        AddFindings();
        AddStorage();
        AddHappenings();
        AddReviews();
        var deferral = DeferralEnd();
        AskAboutAge();
        AskAboutUsage();

        Span<DueLine> lines = stackalloc DueLine[Math.Min(_limits.Count, 64)];
        if (_limits.Count > lines.Length)
        {
            lines = new DueLine[_limits.Count];
        }

        Span<int> origin = stackalloc int[lines.Length];
        var count = 0;
        var open = -1;
        var any = false;
        var isLifeKnown = false;
        for (var i = 0; i < _limits.Count; i++)
        {
            any |= _limits[i].Standing is not (LimitStanding.Beaten or LimitStanding.Met) && !IsHeat(_limits[i]);
            isLifeKnown |= _limits[i] is
            {
                Limit.Level: > LimitLevel.InspectFrom,
                Measure: not LimitMeasure.Condition,
                Standing: LimitStanding.Counts or LimitStanding.Never
            };
            if (_limits[i].Standing == LimitStanding.NoBasis
                && (open < 0 || _limits[i].Limit.Level > _limits[open].Limit.Level))
            {
                open = i;
            }

            if (_limits[i].Standing == LimitStanding.Counts && _limits[i].Due is { } due)
            {
                origin[count] = i;
                lines[count++] = new(_limits[i].Limit.Level, due.First, due.Last, _limits[i].Force);
            }
        }

        // When to look cannot be told, but how long it lasts can: then it is to be looked at, and not unknown.
        var isOnlyLook = open >= 0 && _limits[open].Limit.Level == LimitLevel.InspectFrom && isLifeKnown;
        var verdict = DueCheck.At(
            lines[..count], !isOnlyLook && (open >= 0 || !any), _question.AsOf, _question.WarningDays, isOnlyLook);
        if (!any)
        {
            _trail.Ask(DueAskCode.WhatLimit);
        }

        if (!IsServiceTask && _birth.Span is { First: var made } && _question.AsOf < made)
        {
            _trail.Note(new(DueNoteCode.NotYetMade, Days: DateSpan.Day(made)));
            var then = DueCheck.At(
                lines[..count], !isOnlyLook && (open >= 0 || !any), made, _question.WarningDays, isOnlyLook);
            var next = then is { State: DueState.Unknown } && open < 0 ? then.NextChangeOn : made;
            return Compose(new(DueState.Unknown, Certainty.Possible, -1, next), -1, deferral);
        }

        return Compose(verdict, verdict.Governing >= 0 ? origin[verdict.Governing] : open, deferral);
    }

    private DueAnswer Compose(DueVerdict verdict, int behind, DeferralEnd deferral)
    {
        var limits = new AssessedLimit[_limits.Count];
        for (var i = 0; i < limits.Length; i++)
        {
            limits[i] = _limits[i].Done(_question.Vehicle.DistanceUnit);
        }

        var governing = behind >= 0 ? limits[behind] : null;
        return new()
        {
            AsOf = _question.AsOf,
            State = verdict.State,
            Certainty = verdict.Certainty,
            Force = ForceOf(verdict),
            Hazard = _question.Kind.Hazard,
            Born = _birth,
            Governing = governing,
            GoverningIndex = behind,
            Due = governing?.Due,
            Limits = limits,
            NextChangeOn = Sooner(
                Sooner(verdict.NextChangeOn, deferral.NextChange(_question.AsOf)), NextReview()),
            DeferralStanding = deferral.At(_question.AsOf),
            DeferredUntil = deferral.Until,
            Notes = _trail.Notes,
            Open = _trail.Asks,
            Usage = _usage,
            Question = _question,
        };
    }

    /// <summary>Where a day cannot be told, what would be reached stands behind the state.</summary>
    private Force? ForceOf(DueVerdict verdict)
    {
        var force = verdict.Force;
        foreach (var work in _limits)
        {
            if (work.Standing == LimitStanding.NoBasis
                && (verdict.State == DueState.Unknown
                    || verdict.State == DueState.InspectDue && work.Limit.Level == LimitLevel.InspectFrom))
            {
                force = Forces.Stronger(force, work.Force);
            }
        }

        return force;
    }

    private static DateOnly? Sooner(DateOnly? a, DateOnly? b) => a is null || b < a ? b : a;

    /// <summary>The last day on which a part was serviced, or a task was done; null for what is only ever thrown
    /// away.</summary>
    private DateOnly? WorkDoneOn()
    {
        if (_question.Subject is not ComponentFacts component)
        {
            return _starts.Of(AgeAnchor.Service) is { Presumed: false, Days: { } done } ? done.Last : null;
        }

        if (!_question.Kind.IsRenewable)
        {
            return null;
        }

        DateOnly? last = null;
        foreach (var evidence in component.Evidence)
        {
            if (evidence is { Kind: EvidenceKind.Fill or EvidenceKind.Service, On: { } on }
                && !(on <= last)
                && !_trail.SetAside(evidence, on))
            {
                last = on;
            }
        }

        return last;
    }
}
