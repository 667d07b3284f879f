using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>The numbers: when each limit is reached, and which of them count.</summary>
internal sealed partial class Assessment
{
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
            if (law.PartKind == _question.Kind.Key
                && string.Equals(law.Country, country, StringComparison.OrdinalIgnoreCase))
            {
                Add(Limit.Age(law.Level, law.Anchor, law.Months, Tag.Law, law.Reference, law.End) with
                {
                    Repeats = law.Repeats,
                    ValidFrom = law.ValidFrom,
                    ValidUntil = law.ValidUntil,
                });
            }
        }
    }

    private void Add(Limit limit)
    {
        if (limit is { Months: null, Distance: null, Hours: null, LastDay: null }
            || limit.Months <= 0 || limit.Hours <= 0 || limit.Distance is { Kilometres: <= 0 })
        {
            throw new ArgumentException("A limit needs a number greater than zero, or a last day.", nameof(limit));
        }

        if (limit.Months is { } months)
        {
            AddAge(limit, months);
        }

        if (limit.LastDay is { } last)
        {
            _limits.Add(new()
            {
                Limit = limit,
                Measure = LimitMeasure.PrintedDay,
                Anchor = AgeAnchor.Printed,
                Due = DateSpan.Day(last.PlusDaysClamped(1)),
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

    private void AddAge(Limit limit, int months)
    {
        var start = _starts.Of(limit, _question.Kind);
        if (start.Days is not { } days)
        {
            Put(limit, start, null);
            return;
        }

        var dueBefore = LastDone?.DueOn ?? (_starts.PutOff is { } before
            ? DueCheck.DueOn(before.On, months, limit.EndRule)
            : null);
        if (dueBefore is { } wasDue && start is { Presumed: false, Anchor: AgeAnchor.Service }
            && Overrun.CountsFrom(days.First, wasDue, months) is var from && from < days.First)
        {
            days = DateSpan.Day(from);
            _trail.Note(new(DueNoteCode.OverrunDeducted, Detail: $"{from:O}"));
        }

        var due = Aged(days, months, limit.EndRule);
        if (_heat.Count > 0 && start.Anchor is AgeAnchor.Manufacture or AgeAnchor.Fill)
        {
            due = Exposed(days, due);
        }

        if (limit.ValidFrom is { } valid)
        {
            due = due.LaterOf(DateSpan.Day(valid));
        }

        if (!(due.First > limit.ValidUntil))
        {
            Put(limit, start with { Days = days }, due);
        }
    }

    private DateSpan Exposed(DateSpan from, DateSpan due)
    {
        var first = Exposure.DueOn(_heat, from.First, due.First, isEarly: true);
        var last = Exposure.DueOn(_heat, from.Last, due.Last, isEarly: false);
        if (first < due.First || last < due.Last)
        {
            foreach (var exposure in _heat)
            {
                _trail.Note(new(
                    DueNoteCode.Exposed, Days: due,
                    Detail: $"activation energy {exposure.ActivationEnergy:0.###} ± {exposure.Spread:0.###} eV, the "
                        + $"higher end for the early day; reference {exposure.ReferenceCelsius:0.#} °C; "
                        + $"{exposure.Source}"));
            }
        }

        return new(first, last < first ? first : last);
    }

    /// <summary>A part does no distance on the shelf: what counts from manufacture by age counts from fitting by
    /// distance.</summary>
    private ClockStart MovingStart(AgeAnchor from) =>
        _starts.Of(from == AgeAnchor.Manufacture && !IsServiceTask ? AgeAnchor.Fitting : from);

    private static DateSpan Aged(DateSpan from, int months, EndRule rule) =>
        new(DueCheck.DueOn(from.First, months, rule), DueCheck.DueOn(from.Last, months, rule));

    private void Put(Limit limit, ClockStart start, DateSpan? due) =>
        _limits.Add(new()
        {
            Limit = limit,
            Measure = LimitMeasure.Age,
            Anchor = start.Anchor,
            From = start.Days,
            Due = due,
            Standing = due is null ? LimitStanding.NoBasis : LimitStanding.Counts,
        });

    private void PutDistance(Limit limit, ClockStart start, decimal kilometres)
    {
        var before = CarriedDistance(_question, start, () => Usage);
        if (before is null)
        {
            _trail.Ask(DueAskCode.EarlierDistance);
        }

        start = OnPresentVehicle(_question, start);

        if (DueShown(kilometres) is { } due && LastDone?.Odometer is { } done
            && start.Shown == done
            && due.Instrument == done.Instrument)
        {
            // An overrun is distance that the next interval has already used up.
            var doneAt = Distance.Of(done.Value, done.Unit).Kilometres;
            var over = doneAt - Overrun.CountsFrom(doneAt, Distance.Of(due.Value, due.Unit).Kilometres, kilometres);
            before = (over, over);
            NoteOverrun(over, $"{decimal.Round(due.Value):#,0} {UsageSentences.Name(due.Unit)}");
        }

        PutReach(limit, LimitMeasure.Distance, start, before is { } carried
            ? DistanceClock.Reach(Usage, start, start.Shown, kilometres, carried, _question.Vehicle.Built)
            : default);
        if ((_limits[^1].Standing == LimitStanding.NoBasis || Usage.Basis == RateBasis.Fleet) && before is not null)
        {
            _trail.Ask(DueAskCode.ReadOdometer);
        }
        else if (start is { Shown: null, Presumed: false } && before is not null && Usage.Distance.Readings.Count > 0)
        {
            _trail.Ask(DueAskCode.OdometerAtStart, days: start.Days);
        }
    }

    private void PutHours(Limit limit, ClockStart start, decimal hours)
    {
        _hours ??= HoursModel();
        var before = CarriedHours(_question, start);
        start = OnPresentVehicle(_question, start);
        if ((LastDone?.DueHours ?? _starts.PutOff?.Hours + hours) is { } due && LastDone?.Hours is { } done)
        {
            before += done - Overrun.CountsFrom(done, due, hours);
            NoteOverrun(before, $"{due:#,0.###} hours");
        }

        var shown = start.Hours is { } at ? new ShownDistance(at.On, at.Hours, DistanceUnit.Kilometre) : null;
        PutReach(limit, LimitMeasure.Hours, start, before is { } carried
            ? DistanceClock.Reach(_hours, start, shown, hours, (carried, carried), _question.Vehicle.Built)
            : default);
        if (_limits[^1].Standing == LimitStanding.NoBasis || shown is null)
        {
            _trail.Ask(new(DueAskCode.ReadHours) { ClockFrom = start.Days });
        }
    }

    private void NoteOverrun(decimal? deducted, string from)
    {
        if (deducted > 0)
        {
            _trail.Note(new(DueNoteCode.OverrunDeducted, Detail: from));
        }
    }

    /// <summary>What the odometer was to show when the work that was put off was due.</summary>
    private ShownDistance? DueShown(decimal kilometres) =>
        LastDone?.DueShown ?? (_starts.PutOff?.Odometer is { } shown
            ? shown with { Value = shown.Value + new Distance(kilometres).In(shown.Unit) }
            : null);

    private DoneEvent? LastDone => _question.Subject is ServiceTaskFacts ? _starts.LastDone : null;

    private UsageModel Usage => _usage ??= _question.Usage
        ?? UsageModel.For(
            _question.Vehicle.Usage, [_question.Subject], _question.KnownOn, _question.Alpha, _question.Today);

    /// <summary>Hours are counted as kilometres of a road on which nobody does more than 24 a day.</summary>
    private UsageModel HoursModel() => UsageModel.For(
        new UsageFacts
        {
            Readings = [.. _question.Vehicle.HoursReadings.Concat(_question.Subject.ShownHours).Distinct()
                .Select(reading => new ShownDistance(reading.On, reading.Hours, DistanceUnit.Kilometre))],
            Season = _question.Vehicle.Usage.Season,
            Standing = _question.Vehicle.Usage.Standing,
            MaxPerDay = new Distance(24),
        },
        [],
        _question.KnownOn,
        _question.Alpha,
        _question.Today);

    /// <summary>Kilometres that a part ran before its present fitting since a clock started, least and most; null when
    /// that cannot be told.</summary>
    /// <param name="usage">The track of the vehicle asked about, for stays on it.</param>
    public static (decimal Least, decimal Most)? CarriedDistance(
        DueQuestion question, ClockStart start, Func<UsageModel> usage)
    {
        var (least, most) = (0m, 0m);
        if (question.Subject is not ComponentFacts component)
        {
            return (least, most);
        }

        foreach (var stay in component.Stays)
        {
            if (stay.Until is null)
            {
                continue;
            }

            // From fitting it runs since the first fitting of all, known or not.
            var since = start.Anchor == AgeAnchor.Fitting ? null : start.Days;
            if (stay.Ran(since, start.Shown, stay.OnThisVehicle ? usage() : null) is not { } ran)
            {
                return null;
            }

            (least, most) = (least + ran.Least, most + ran.Most);
        }

        return (least, most);
    }

    /// <summary>Running hours before the present fitting; null when they are not known.</summary>
    private static decimal? CarriedHours(DueQuestion question, ClockStart start)
    {
        if (start.Anchor != AgeAnchor.Fitting || question.Subject is not ComponentFacts component)
        {
            return 0;
        }

        var sum = 0m;
        foreach (var stay in component.Stays)
        {
            if (stay.Until is null)
            {
                continue;
            }

            if (stay.Hours is not { } ran)
            {
                return null;
            }

            sum += ran;
        }

        return sum;
    }

    /// <summary>The clock as the present vehicle's instruments tell it: what ran before the part came onto it is
    /// carried.</summary>
    public static ClockStart OnPresentVehicle(DueQuestion question, ClockStart start) =>
        question.Subject is ComponentFacts { Stays: { Count: > 1 } stays }
        && stays[^1] is { Until: null, From: { } from } present
        && !(start.Days?.First > from)
            ? start with
            {
                Days = start.Days is { } days && days.Last > from ? new(from, days.Last) : DateSpan.Day(from),
                Shown = start.Shown is { } shown && shown.On >= from ? shown : present.ShownFirst,
            }
            : start;

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
            Left = reach.Left,
            Standing = reach.Due is not null
                ? LimitStanding.Counts
                : reach.IsNever
                ? LimitStanding.Never
                : LimitStanding.NoBasis,
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
            var printed = DateOnly.MaxValue;
            foreach (var reading in evidence.Readings)
            {
                if (reading.IsExpiry && evidence.Kind is EvidenceKind.Mark or EvidenceKind.Plate)
                {
                    var last = reading.Days.Last;
                    var end = new DateSpan(last.PlusMonthsClamped(-reading.MarginMonths), last);
                    ends = ends?.HullWith(end) ?? end;
                    printed = last < printed ? last : printed;
                }
            }

            if (ends is { } days)
            {
                _limits.Add(new()
                {
                    Limit = Limit.NotAfter(LimitLevel.StopUse, printed, Tag.Label) with { NotedBy = evidence.NotedBy },
                    Measure = LimitMeasure.PrintedDay,
                    Anchor = AgeAnchor.Printed,
                    // A mark that may as well say when it was made ends nothing for certain.
                    Due = new DateSpan(
                        days.First.PlusDaysClamped(1),
                        CanBeMade(evidence) ? DateOnly.MaxValue : days.Last.PlusDaysClamped(1)),
                });
            }
        }
    }

    /// <summary>Some reading of the mark that stands is one of manufacture.</summary>
    private bool CanBeMade(Evidence mark)
    {
        foreach (var reading in mark.Readings)
        {
            if (!reading.IsExpiry && _birth.Readings.Contains(reading))
            {
                return true;
            }
        }

        return false;
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
                if (i == j || !Precedence.Beats(winner, loser, IsServiceTask)
                    || Precedence.IsKeptFromOwn(winner, loser, _question.Kind.Hazard, _question.AsOf))
                {
                    continue;
                }

                if (by is null || Precedence.Rank(winner.Limit.Tag) < Precedence.Rank(by.Tag))
                {
                    by = winner.Limit;
                }

                if (loser.Due is { } mine && winner.Due is { } theirs && mine.First < theirs.First)
                {
                    _trail.Note(new(DueNoteCode.ShorterNumberBeaten, Limit: loser.Limit));
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
}
