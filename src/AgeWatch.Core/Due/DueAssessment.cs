using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>The due answer: a pure function of the facts and the day.</summary>
/// <remarks>
/// The due days of every limit follow from the facts alone; the day asked is only compared with them. So a later day
/// never improves a state, and the next change is exact.
/// </remarks>
public static class DueAssessment
{
    /// <exception cref="ArgumentException">A limit has no number, or a number that is not positive.</exception>
    public static DueAnswer Assess(DueQuestion question)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(question.WarningDays);
        return new Assessment(question).Answer();
    }
}

internal sealed class Assessment
{
    private readonly DueQuestion _question;
    private readonly DueTrail _trail;
    private readonly Birth _birth;
    private readonly ClockStarts _starts;
    private readonly IReadOnlyList<GradedFinding> _findings;
    private readonly List<LimitWork> _limits = new(8);
    private UsageModel? _usage;
    private UsageModel? _hours;

    public Assessment(DueQuestion question)
    {
        _question = question;
        _trail = new(question.KnownOn);
        _birth = question.Subject is ComponentFacts component ? Birth.Of(component, question, _trail) : new();
        _starts = new(question, _birth, _trail);
        if (IsServiceTask)
        {
            var done = _starts.Of(AgeAnchor.Service);
            _birth = new() { Span = done.Days, Basis = done.Days is null ? null : done.Presumed ? EvidenceKind.Presumption : EvidenceKind.Service };
        }

        _findings = Findings.Grade(question, WorkDoneOn(), _trail);
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
        AskAboutAge();

        Span<DueLine> lines = stackalloc DueLine[32];
        if (_limits.Count > lines.Length)
        {
            lines = new DueLine[_limits.Count];
        }

        Span<int> origin = stackalloc int[lines.Length];
        var count = 0;
        var open = -1;
        var any = false;
        for (var i = 0; i < _limits.Count; i++)
        {
            any |= _limits[i].Standing is not (LimitStanding.Beaten or LimitStanding.Met);
            if (_limits[i].Standing == LimitStanding.NoBasis && (open < 0 || _limits[i].Limit.Level > _limits[open].Limit.Level))
            {
                open = i;
            }

            if (_limits[i].Standing == LimitStanding.Counts && _limits[i].Due is { } due)
            {
                origin[count] = i;
                lines[count++] = new(_limits[i].Limit.Level, due.First, due.Last);
            }
        }

        lines = lines[..count];
        var verdict = DueCheck.At(lines, open >= 0 || !any, _question.AsOf, _question.WarningDays);
        return Compose(verdict, origin, open, any);
    }

    private DueAnswer Compose(DueVerdict verdict, ReadOnlySpan<int> origin, int open, bool any)
    {
        var limits = new AssessedLimit[_limits.Count];
        for (var i = 0; i < limits.Length; i++)
        {
            limits[i] = _limits[i].Done();
        }

        var governing = verdict.Governing >= 0 ? limits[origin[verdict.Governing]]
            : verdict.State == DueState.Unknown && open >= 0 ? limits[open]
            : null;
        var (standing, until) = DeferralEnd();
        var next = verdict.NextChangeOn;
        if (standing is DeferralStanding.Running && until?.PlusDaysClamped(1) is { } ends && !(ends >= next))
        {
            next = ends;
        }

        if (!any)
        {
            _trail.Ask(DueAskCode.WhatLimit);
        }

        return new()
        {
            AsOf = _question.AsOf,
            State = verdict.State,
            Certainty = verdict.Certainty,
            Hazard = _question.Kind.Hazard,
            Born = _birth,
            Governing = governing,
            Due = governing?.Due ?? FirstDue(limits),
            Limits = limits,
            NextChangeOn = next,
            DeferralStanding = standing,
            DeferredUntil = until,
            Notes = _trail.Notes,
            Asks = _trail.Asks,
            Usage = _usage,
            Question = _question,
        };
    }

    private static DateSpan? FirstDue(AssessedLimit[] limits)
    {
        DateSpan? first = null;
        foreach (var limit in limits)
        {
            if (limit is { Standing: LimitStanding.Counts, Level: not LimitLevel.InspectFrom, Due: { } due } && !(due >= first))
            {
                first = due;
            }
        }

        return first;
    }

    private void AddLimits()
    {
        foreach (var limit in _question.Kind.Limits)
        {
            Add(limit);
        }

        foreach (var limit in _question.Subject.OwnLimits)
        {
            Add(limit);
        }

        if (_question.Vehicle.Country is not { } country)
        {
            return;
        }

        foreach (var law in _question.Laws)
        {
            if (string.Equals(law.Country, country, StringComparison.OrdinalIgnoreCase) && law.PartKinds.Contains(_question.Kind.Key))
            {
                Add(law.Limit, law.InForceUntil);
            }
        }
    }

    private void Add(Limit limit, DateOnly? inForceUntil = null)
    {
        if (limit is { Months: null, Distance: null, Hours: null, LastDay: null }
            || limit.Months <= 0 || limit.Hours <= 0 || limit.Distance is { Kilometres: <= 0 })
        {
            throw new ArgumentException("A limit needs a number greater than zero, or a last day.", nameof(limit));
        }

        if (limit.Months is { } months)
        {
            var start = _starts.Of(limit.From);
            var due = start.Days is { } days ? Aged(days, months, limit.EndRule) : default(DateSpan?);
            if (due is { } natural && limit.ValidFrom is { } valid)
            {
                due = new(natural.First < valid ? valid : natural.First, natural.Last < valid ? valid : natural.Last);
            }

            if (!(due?.First > inForceUntil))
            {
                Put(limit, LimitMeasure.Age, start, due);
            }
        }

        if (limit.LastDay is { } last)
        {
            _limits.Add(new()
            {
                Limit = limit, Measure = LimitMeasure.PrintedDay, Anchor = AgeAnchor.Printed, Due = DateSpan.Day(last.PlusDaysClamped(1)),
            });
        }

        if (limit.Distance is { } distance)
        {
            PutDistance(limit, MovingStart(limit.From), distance.Kilometres);
        }

        if (limit.Hours is { } hours)
        {
            PutHours(limit, MovingStart(limit.From), hours);
        }
    }

    /// <summary>A part does no distance on the shelf: what counts from manufacture by age counts from fitting by distance.</summary>
    private ClockStart MovingStart(AgeAnchor from) =>
        _starts.Of(from == AgeAnchor.Manufacture && !IsServiceTask ? AgeAnchor.Fitting : from);

    private static DateSpan Aged(DateSpan from, int months, EndRule rule) =>
        new(DueCheck.DueOn(from.First, months, rule), DueCheck.DueOn(from.Last, months, rule));

    private void Put(Limit limit, LimitMeasure measure, ClockStart start, DateSpan? due) =>
        _limits.Add(new()
        {
            Limit = limit,
            Measure = measure,
            Anchor = start.Anchor,
            From = start.Days,
            Due = due,
            Standing = due is null ? LimitStanding.NoBasis : LimitStanding.Counts,
        });

    private void PutDistance(Limit limit, ClockStart start, decimal kilometres)
    {
        var usage = _usage ??= _question.Usage
            ?? UsageModel.For(_question.Vehicle, [_question.Subject], _question.KnownOn, _question.Alpha);
        var carried = Carried(start, earlier => earlier.Distance?.Kilometres);
        PutReach(limit, LimitMeasure.Distance, start, carried is { } before
            ? DistanceClock.Reach(usage, start, start.Shown, kilometres, before, _question.Vehicle.Built)
            : default);
        if (carried is null)
        {
            _trail.Ask(DueAskCode.EarlierDistance);
        }
        else if (usage.Distance.Readings.Count == 0 || _limits[^1].Standing == LimitStanding.NoBasis)
        {
            _trail.Ask(DueAskCode.ReadOdometer);
        }
        else if (start.Shown is null)
        {
            _trail.Ask(DueAskCode.OdometerAtStart, days: start.Days);
        }
    }

    private void PutHours(Limit limit, ClockStart start, decimal hours)
    {
        var model = _hours ??= HoursModel();
        var shown = start is { Hours: { } at, Days: { } days } ? new ShownDistance(days.First, at, DistanceUnit.Kilometre) : null;
        PutReach(limit, LimitMeasure.Hours, start, Carried(start, earlier => earlier.Hours) is { } before
            ? DistanceClock.Reach(model, start, shown, hours, before, _question.Vehicle.Built)
            : default);
        if (_limits[^1].Standing == LimitStanding.NoBasis || shown is null)
        {
            _trail.Ask(DueAskCode.ReadHours);
        }
    }

    /// <summary>Hours are counted as kilometres of a road on which nobody does more than 24 a day.</summary>
    private UsageModel HoursModel()
    {
        var readings = _question.Vehicle.HoursReadings.Select(reading => (reading.On, reading.Hours)).Concat(_question.Subject switch
        {
            ComponentFacts component => component.Evidence
                .Where(evidence => evidence is { On: not null, Hours: not null })
                .Select(evidence => (evidence.On!.Value, evidence.Hours!.Value)),
            ServiceTaskFacts task => task.Done.Where(done => done.Hours is not null).Select(done => (done.On, done.Hours!.Value)),
            _ => [],
        });
        return UsageModel.Of(
            new UsageFacts
            {
                Readings = [.. readings.Distinct().Select(reading => new ShownDistance(reading.Item1, reading.Item2, DistanceUnit.Kilometre))],
                Season = _question.Vehicle.Usage.Season,
                Standing = _question.Vehicle.Usage.Standing,
                MaxPerDay = new Distance(24),
            },
            _question.KnownOn,
            _question.Alpha);
    }

    private decimal? Carried(ClockStart start, Func<EarlierFitting, decimal?> ran)
    {
        if (_question.Subject is not ComponentFacts { EarlierFittings: { Count: > 0 } earlier } || start.Anchor != AgeAnchor.Fitting)
        {
            return 0;
        }

        var sum = 0m;
        foreach (var fitting in earlier)
        {
            if (ran(fitting) is not { } amount)
            {
                return null;
            }

            sum += amount;
        }

        return sum;
    }

    private void PutReach(Limit limit, LimitMeasure measure, ClockStart start, DistanceReach reach) =>
        _limits.Add(new()
        {
            Limit = limit,
            Measure = measure,
            Anchor = start.Anchor,
            From = start.Days,
            Due = reach.Due,
            Likely = reach.Likely,
            ReachedAt = reach.ReachedAt,
            Standing = reach.Due is not null ? LimitStanding.Counts : reach.IsNever ? LimitStanding.Never : LimitStanding.NoBasis,
        });

    /// <summary>Last days printed on the part; of several readings of one mark the earliest governs.</summary>
    private void AddPrintedDays()
    {
        if (_question.Subject is not ComponentFacts component)
        {
            return;
        }

        foreach (var evidence in component.Evidence)
        {
            DateSpan? ends = null;
            foreach (var reading in evidence.Readings)
            {
                if (reading.IsExpiry && evidence.Kind is EvidenceKind.Mark or EvidenceKind.Plate)
                {
                    var end = DateSpan.Day(reading.Days.Last);
                    ends = ends?.HullWith(end) ?? end;
                }
            }

            if (ends is { } days)
            {
                _limits.Add(new()
                {
                    Limit = Limit.NotAfter(LimitLevel.StopUse, days.First, Tag.Label) with { NotedBy = evidence.NotedBy },
                    Measure = LimitMeasure.PrintedDay,
                    Anchor = AgeAnchor.Printed,
                    Due = new DateSpan(days.First.PlusDaysClamped(1), days.Last.PlusDaysClamped(1)),
                });
            }
        }
    }

    private void Decide()
    {
        for (var i = 0; i < _limits.Count; i++)
        {
            var loser = _limits[i];
            Limit? by = null;
            for (var j = 0; j < _limits.Count; j++)
            {
                var winner = _limits[j];
                if (i != j && Precedence.Beats(winner, loser, IsServiceTask)
                    && (by is null || Precedence.Rank(winner.Limit.Tag) < Precedence.Rank(by.Tag)))
                {
                    by = winner.Limit;
                    if (loser.Due is { } mine && winner.Due is { } theirs && mine.First < theirs.First)
                    {
                        _trail.Note(new(DueNoteCode.ShorterNumberBeaten, Limit: loser.Limit));
                    }
                }
            }

            if (by is not null)
            {
                loser.Standing = LimitStanding.Beaten;
                loser.BeatenBy = by;
                _limits[i] = loser;
            }
        }
    }

    /// <summary>From the inspect-from age on the last look must not be older than the interval.</summary>
    private void Inspect()
    {
        GradedFinding? last = null;
        foreach (var finding in _findings)
        {
            if (last is not { } known || finding.Finding.On > known.Finding.On
                || finding.Finding.On == known.Finding.On && finding.Grade > known.Grade)
            {
                last = finding;
            }
        }

        var kind = _question.Kind;
        DateSpan? from = null;
        var hasLine = false;
        for (var i = 0; i < _limits.Count; i++)
        {
            var work = _limits[i];
            if (work.Limit.Level != LimitLevel.InspectFrom || work.Standing == LimitStanding.Beaten || work.Measure != LimitMeasure.Age)
            {
                continue;
            }

            hasLine = true;
            if (last is not null && work.Standing == LimitStanding.Counts)
            {
                from = from is { } first && first <= work.Due!.Value ? first : work.Due;
                work.Standing = LimitStanding.Met;
                _limits[i] = work;
            }
        }

        var watch = last is { Grade: > FindingGrade.Pass };
        if (kind.InspectEvery is { } distance)
        {
            var start = last is { Finding: var seen }
                ? new ClockStart(AgeAnchor.Inspection, DateSpan.Day(seen.On), seen.Odometer)
                : MovingStart(kind.Clock);
            var every = watch ? new Distance(distance.Kilometres / 2) : distance;
            PutDistance(
                new Limit
                {
                    Level = LimitLevel.InspectFrom, From = start.Anchor, Distance = every, DistanceUnit = DistanceUnit.Kilometre,
                    Tag = kind.InspectTag, Reference = kind.InspectReference,
                },
                start,
                every.Kilometres);
        }

        if (last is not { } latest)
        {
            if (!hasLine && InspectionMonths(watch: false) is { } first && kind.InspectEveryMonths is not null)
            {
                Put(InspectionLimit(first), LimitMeasure.Age, _starts.Of(kind.Clock), Aged(first));
            }

            return;

            DateSpan? Aged(int months) => _starts.Of(kind.Clock).Days is { } days ? Assessment.Aged(days, months, EndRule.Day) : null;
        }

        var months = InspectionMonths(watch) ?? (hasLine || watch ? DefaultInspectionMonths(watch) : default(int?));
        if (months is { } interval)
        {
            var next = latest.Finding.On.PlusMonthsClamped(interval);
            var due = from is { } line && !watch
                ? new DateSpan(line.First > next ? line.First : next, line.Last > next ? line.Last : next)
                : DateSpan.Day(next);
            _limits.Add(new()
            {
                Limit = InspectionLimit(interval),
                Measure = LimitMeasure.Age,
                Anchor = AgeAnchor.Inspection,
                From = DateSpan.Day(latest.Finding.On),
                Due = due,
                Standing = LimitStanding.Counts,
                Finding = latest.Finding,
            });
        }
    }

    private Limit InspectionLimit(int months) =>
        Limit.Age(LimitLevel.InspectFrom, AgeAnchor.Inspection, months, _question.Kind.InspectTag, _question.Kind.InspectReference);

    /// <summary>The kind's interval, halved where the vehicle is kept harshly and again after a finding worse than pass.</summary>
    private int? InspectionMonths(bool watch)
    {
        var months = _question.Kind.InspectEveryMonths;
        if (_question.Kind.WarningMonths is { } warning)
        {
            var half = Math.Max(1, (int)Math.Floor(InspectionInterval.Half(warning)));
            months = months is { } every ? Math.Min(every, half) : half;
        }

        return months is { } plain ? Shortened(plain, watch) : null;
    }

    private int DefaultInspectionMonths(bool watch) => Shortened(12, watch);

    private int Shortened(int months, bool watch)
    {
        if (IsHarsh(_question.Vehicle.Storage))
        {
            months /= 2;
            _trail.Note(new(DueNoteCode.HarshStorage));
        }

        return Math.Max(1, watch ? months / 2 : months);
    }

    private static bool IsHarsh(IReadOnlyList<StorageCondition> storage)
    {
        foreach (var condition in storage)
        {
            if (condition is StorageCondition.Outdoors or StorageCondition.Hot or StorageCondition.Salt or StorageCondition.OzoneSource)
            {
                return true;
            }
        }

        return false;
    }

    private void AddFindings()
    {
        foreach (var (finding, grade, broken) in _findings)
        {
            if (grade < FindingGrade.Fail)
            {
                continue;
            }

            _limits.Add(new()
            {
                Limit = new Limit
                {
                    Level = grade == FindingGrade.Unfit ? LimitLevel.StopUse : LimitLevel.ReplaceBy,
                    From = AgeAnchor.Finding,
                    Tag = broken?.Tag ?? Tag.Practice,
                    Reference = broken?.Reference,
                    NotedBy = finding.FoundBy,
                },
                Measure = LimitMeasure.Condition,
                Anchor = AgeAnchor.Finding,
                From = DateSpan.Day(finding.On),
                Due = DateSpan.Day(finding.On),
                Standing = LimitStanding.Counts,
                Finding = finding,
            });
        }
    }

    /// <summary>A part stored too long before it was fitted is due from the day it was fitted.</summary>
    private void AddStorage()
    {
        var shelf = _question.Kind.Shelf;
        if (shelf.Excess != StorageExcess.RejectAtFitting || _birth is not { Span: { } born, Readings.Count: > 0 }
            || _starts.Of(AgeAnchor.Fitting) is not { Presumed: false, Days: { } fitted })
        {
            return;
        }

        if (born.First.PlusMonthsClamped(shelf.Months) is var end && end < fitted.First)
        {
            var certain = born.Last.PlusMonthsClamped(shelf.Months) < fitted.First;
            _limits.Add(new()
            {
                Limit = Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Fitting, shelf.Months, shelf.Tag, shelf.Reference),
                Measure = LimitMeasure.Condition,
                Anchor = AgeAnchor.Fitting,
                From = born,
                Due = new DateSpan(fitted.First, certain ? fitted.Last : DateOnly.MaxValue),
                Standing = LimitStanding.Counts,
            });
            _trail.Note(new(DueNoteCode.StoredTooLong, Days: born));
        }
    }

    /// <summary>Asks only what a limit that counts depends on.</summary>
    private void AskAboutAge()
    {
        var manufacture = false;
        var started = default(AgeAnchor?);
        foreach (var work in _limits)
        {
            if (work.Standing is LimitStanding.Beaten || work.Measure is LimitMeasure.PrintedDay or LimitMeasure.Condition)
            {
                continue;
            }

            manufacture |= work.Anchor == AgeAnchor.Manufacture;
            if (work.Anchor is AgeAnchor.Fitting or AgeAnchor.Fill or AgeAnchor.Service or AgeAnchor.Regulatory && _starts.Of(work.Anchor).Presumed)
            {
                started ??= work.Anchor;
            }
        }

        if (_birth.Readings.Count > 1)
        {
            _trail.Ask(DueAskCode.WhichReading, string.Join(" and ", _birth.Readings.Select(reading => reading.Days.ToString())));
        }
        else if (manufacture && !IsServiceTask && _birth.Readings.Count == 0)
        {
            _trail.Ask(DueAskCode.ReadMark);
        }

        if (started is { } anchor)
        {
            _trail.Ask(DueAskCode.WhenStarted, anchor switch
            {
                AgeAnchor.Fitting => "it fitted",
                AgeAnchor.Fill => "it filled",
                AgeAnchor.Regulatory => "it first registered, or its installation tested",
                _ => "it last done",
            });
        }

        if (_question.Vehicle.Built is null && (_birth.Span is null || _birth.Basis == EvidenceKind.Presumption))
        {
            _trail.Ask(DueAskCode.WhenBuilt);
        }
    }

    private DateOnly? WorkDoneOn()
    {
        if (IsServiceTask)
        {
            return _starts.Of(AgeAnchor.Service) is { Presumed: false, Days: { } done } ? done.Last : null;
        }

        DateOnly? last = null;
        foreach (var evidence in ((ComponentFacts)_question.Subject).Evidence)
        {
            if (evidence is { Kind: EvidenceKind.Fill or EvidenceKind.Service, On: { } on } && !(on <= last) && !_trail.SetAside(evidence, on))
            {
                last = on;
            }
        }

        return last;
    }

    private (DeferralStanding Standing, DateOnly? Until) DeferralEnd()
    {
        if (_question.Subject.Deferral is not { } deferral)
        {
            return (DeferralStanding.None, null);
        }

        if (_question.Kind.Deferral == DeferralPolicy.Never)
        {
            return (DeferralStanding.Refused, null);
        }

        return (_question.AsOf <= deferral.UntilOn ? DeferralStanding.Running : DeferralStanding.Ended, deferral.UntilOn);
    }
}
