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
        var from = Answered(last, out var hasLine);
        AddHeat(last);
        InspectByDistance(last, watch);
        var months = InspectionMonths();
        if (last is { } seen)
        {
            var interval = months ?? (hasLine || watch ? YearlyLook : null);
            if (interval is { } plain)
            {
                Look(seen.Finding, Shortened(plain, watch), watch ? null : from);
            }
        }
        else if (!hasLine && months is { } first)
        {
            var start = _starts.Of(_question.Kind.Clock);
            var every = Shortened(first, watch: false);
            Put(InspectionLimit(every), start, start.Days is { } days ? Aged(days, every, EndRule.Day) : null);
        }
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

    /// <summary>Marks inspect-from lines as met by a look, and returns the first of them.</summary>
    private DateSpan? Answered(GradedFinding? last, out bool hasLine)
    {
        DateSpan? from = null;
        hasLine = false;
        for (var i = 0; i < _limits.Count; i++)
        {
            var work = _limits[i];
            if (work is not { Limit.Level: LimitLevel.InspectFrom, Measure: LimitMeasure.Age } || work.Standing == LimitStanding.Beaten)
            {
                continue;
            }

            hasLine = true;
            if (last is not null && work.Due is { } due)
            {
                from = from is { } first
                    ? new(first.First < due.First ? first.First : due.First, first.Last < due.Last ? first.Last : due.Last)
                    : due;
                work.Standing = LimitStanding.Met;
                _limits[i] = work;
            }
        }

        return from;
    }

    private void InspectByDistance(GradedFinding? last, bool watch)
    {
        if (_question.Kind.InspectEvery is not { } distance)
        {
            return;
        }

        var start = last is { Finding: var seen }
            ? new ClockStart(AgeAnchor.Inspection, DateSpan.Day(seen.On), seen.Odometer)
            : MovingStart(_question.Kind.Clock);
        var every = watch ? new Distance(distance.Kilometres / 2) : distance;
        PutDistance(
            new Limit
            {
                Level = LimitLevel.InspectFrom, From = start.Anchor, Distance = every,
                Tag = watch ? Tag.Practice : _question.Kind.InspectTag,
                Reference = watch ? null : _question.Kind.InspectReference,
            },
            start,
            every.Kilometres);
    }

    private void Look(Finding seen, int months, DateSpan? notBefore)
    {
        var next = seen.On.PlusMonthsClamped(months);
        _limits.Add(new()
        {
            Limit = InspectionLimit(months),
            Measure = LimitMeasure.Age,
            Anchor = AgeAnchor.Inspection,
            From = DateSpan.Day(seen.On),
            Due = notBefore is { } line
                ? new DateSpan(line.First > next ? line.First : next, line.Last > next ? line.Last : next)
                : DateSpan.Day(next),
            Standing = LimitStanding.Counts,
            Finding = seen,
        });
    }

    /// <summary>A temperature history too hot to compute with asks for a look, once, from its first day.</summary>
    private void AddHeat(GradedFinding? last)
    {
        if (_question.Vehicle.Exposure is not { } exposure || (_birth.Span ?? _question.Vehicle.Built) is not { } born
            || Exposure.TooHot(exposure, born.First) is not { } hot)
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
        var factor = Exposure.Factor(hot.Celsius, exposure.ReferenceCelsius, exposure.ActivationEnergy);
        _trail.Note(new(DueNoteCode.ExposedTooHot, Detail: $"{hot.Celsius:0.#} °C ages it {factor:0.#} times as fast"));
    }

    private Limit InspectionLimit(int months)
    {
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

    /// <summary>Halved where the vehicle is kept harshly, and again after a finding worse than pass; a month at least.</summary>
    private int Shortened(int months, bool watch)
    {
        if (IsHarsh(_question.Vehicle.Storage))
        {
            months = Math.Max(1, months / 2);
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
}
