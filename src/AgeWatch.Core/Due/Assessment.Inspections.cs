namespace AgeWatch.Core.Due;

/// <summary>Inspections: from the inspect-from age on the last look must not be older than the interval.</summary>
internal sealed partial class Assessment
{
    /// <summary>Where neither kind nor warning time gives an interval. Common practice, no source.</summary>
    private const int YearlyLook = 12;

    private void Inspect()
    {
        var last = LastFinding();
        var watch = last is { Grade: > FindingGrade.Pass };
        AddHeat(last);
        InspectByDistance(last, watch);
        var first = FirstInspectLine(out var hasLine);
        var months = InspectionMonths();
        var start = _starts.Of(_question.Kind.Clock);
        var isPlain = !hasLine && months is not null;
        var every = Shortened(months ?? YearlyLook);
        if (isPlain)
        {
            // Without an age to look from, the first look comes one interval after the start.
            first = start.Days is { } days ? Aged(days, every, EndRule.Day) : null;
        }

        var length = watch ? Math.Max(1, every / 2) : every;
        var next = last?.Finding.On.PlusMonthsClamped(length);
        var isEarly = !watch && first?.First >= next;
        if (last is not { Finding: var seen } || isEarly)
        {
            // Never looked at, or looked at before its time: the first look is still to come.
            if (isPlain)
            {
                Put(InspectionLimit(every), start, first);
            }

            return;
        }

        if (months is null && !hasLine && !watch)
        {
            return;
        }

        MeetInspectLines();
        _limits.Add(new()
        {
            Limit = InspectionLimit(length),
            Measure = LimitMeasure.Age,
            Anchor = AgeAnchor.Inspection,
            From = DateSpan.Day(seen.On),
            Due = new DateSpan(next!.Value, !watch && first?.Last > next ? first.Value.Last : next.Value),
            Standing = LimitStanding.Counts,
            Finding = seen,
        });
    }

    /// <summary>The latest finding, of one day the worst.</summary>
    private GradedFinding? LastFinding()
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

        return last;
    }

    /// <summary>When the first inspect-from age comes; null when there is none, or when one of them cannot be
    /// told.</summary>
    private DateSpan? FirstInspectLine(out bool hasLine)
    {
        DateSpan? first = null;
        var untold = false;
        hasLine = false;
        foreach (var work in _limits)
        {
            if (!IsInspectLine(work))
            {
                continue;
            }

            hasLine = true;
            untold |= work.Due is null;
            if (work.Due is { } due)
            {
                first = first is { } known
                    ? new(known.First < due.First
                        ? known.First
                        : due.First, known.Last < due.Last
                        ? known.Last
                        : due.Last)
                    : due;
            }
        }

        return untold ? null : first;
    }

    private void MeetInspectLines()
    {
        for (var i = 0; i < _limits.Count; i++)
        {
            if (IsInspectLine(_limits[i]))
            {
                _limits[i] = _limits[i] with { Standing = LimitStanding.Met };
            }
        }
    }

    private static bool IsInspectLine(in LimitWork work) =>
        work is { Limit.Level: LimitLevel.InspectFrom, Measure: LimitMeasure.Age, Standing: not LimitStanding.Beaten };

    private void InspectByDistance(GradedFinding? last, bool watch)
    {
        if (_question.Kind.InspectEvery is not { } distance)
        {
            return;
        }

        var start = MovingStart(_question.Kind.Clock);
        if (last is { Finding: var seen } && !(seen.On < start.Days?.First))
        {
            start = new ClockStart(AgeAnchor.Inspection, DateSpan.Day(seen.On), seen.Odometer);
        }

        var every = watch ? new Distance(distance.Kilometres / 2) : distance;
        PutDistance(
            new Limit
            {
                Level = LimitLevel.InspectFrom,
                From = start.Anchor,
                Distance = every,
                Tag = watch ? Tag.Practice : _question.Kind.InspectTag,
                Reference = watch ? null : _question.Kind.InspectReference,
            },
            start,
            every.Kilometres);
    }

    /// <summary>A temperature history too hot to compute with asks for a look, once, from its first day.</summary>
    private void AddHeat(GradedFinding? last)
    {
        if (_heat.Count == 0 || (_birth.Span ?? _question.Vehicle.Built) is not { } born
            || Exposure.TooHot(_heat, born.First) is not var (hot, exposure))
        {
            return;
        }

        var due = hot.From > born.First ? hot.From : born.First;
        _limits.Add(new()
        {
            Limit = new Limit { Level = LimitLevel.InspectFrom, From = AgeAnchor.Finding, Tag = Tag.Practice },
            Measure = LimitMeasure.Condition,
            Anchor = AgeAnchor.Finding,
            From = new DateSpan(hot.From, hot.Until < hot.From ? hot.From : hot.Until),
            Due = DateSpan.Day(due),
            Standing = last?.Finding.On > hot.Until ? LimitStanding.Met : LimitStanding.Counts,
        });
        var factor = Exposure.Factor(hot.Celsius, exposure.ReferenceCelsius, exposure.Highest);
        _trail.Note(new(
            DueNoteCode.ExposedTooHot, Detail: $"{hot.Celsius:0.#} °C may age it {factor:0.#} times as fast"));
    }

    /// <summary>A look because of heat is no limit of the part's own: with nothing else nothing is known of its
    /// life.</summary>
    private static bool IsHeat(in LimitWork work) =>
        work is { Measure: LimitMeasure.Condition, Limit: { Level: LimitLevel.InspectFrom, Months: null } };

    private Limit InspectionLimit(int months)
    {
        if (IsHarsh(_question.Vehicle.Storage))
        {
            _trail.Note(new(DueNoteCode.HarshStorage));
        }

        var plain = months == _question.Kind.InspectEveryMonths;
        return Limit.Age(
            LimitLevel.InspectFrom, AgeAnchor.Inspection, months,
            plain ? _question.Kind.InspectTag : Tag.Practice, plain ? _question.Kind.InspectReference : null);
    }

    /// <summary>The kind's interval, or half the warning time when that is shorter.</summary>
    private int? InspectionMonths()
    {
        var months = _question.Kind.InspectEveryMonths;
        if (_question.Kind.WarningMonths is { } warning)
        {
            var half = Math.Max(1, (int)Math.Floor(InspectionInterval.Half(warning)));
            months = months < half ? months : half;
        }

        return months;
    }

    /// <summary>Halved where the vehicle is kept harshly; a month at least.</summary>
    private int Shortened(int months) => IsHarsh(_question.Vehicle.Storage) ? Math.Max(1, months / 2) : months;

    private static bool IsHarsh(IReadOnlyList<StorageCondition> storage)
    {
        foreach (var condition in storage)
        {
            if (condition is StorageCondition.Outdoors or StorageCondition.Hot or StorageCondition.Salt
                or StorageCondition.OzoneSource)
            {
                return true;
            }
        }

        return false;
    }
}
