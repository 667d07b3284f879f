using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>What to ask, and what a deferral changes.</summary>
internal sealed partial class Assessment
{
    /// <summary>Asks only what a limit that counts depends on.</summary>
    private void AskAboutAge()
    {
        var manufacture = false;
        AgeAnchor? started = null;
        foreach (var work in _limits)
        {
            if (work.Standing is LimitStanding.Beaten
                || work.Measure is LimitMeasure.PrintedDay or LimitMeasure.Condition)
            {
                continue;
            }

            manufacture |= work.Anchor == AgeAnchor.Manufacture;
            if (work.Anchor is AgeAnchor.Fitting or AgeAnchor.Fill or AgeAnchor.Service or AgeAnchor.Regulatory
                && _starts.Of(work.Anchor).Presumed)
            {
                started ??= work.Anchor;
            }
        }

        AskWhatMarksSay();
        if (_birth.Readings.Count > 1)
        {
            _trail.Ask(DueAskCode.WhichReading, readings: _birth.Readings);
        }
        else if (manufacture && !IsServiceTask && _birth.Readings.Count == 0)
        {
            _trail.Ask(DueAskCode.ReadMark);
        }

        if (started is { } anchor)
        {
            _trail.Ask(new(DueAskCode.WhenStarted, anchor switch
            {
                AgeAnchor.Fitting => "it fitted",
                AgeAnchor.Fill => "it filled",
                AgeAnchor.Regulatory when _question.Vehicle.RegisteredOn is not null => "its installation tested",
                AgeAnchor.Regulatory => "it first registered, or its installation tested",
                _ => "it last done",
            })
            {
                Starts = anchor,
            });
        }

        if (_question.Vehicle.Built is null && (_birth.Span is null || _birth.Basis == EvidenceKind.Presumption))
        {
            _trail.Ask(DueAskCode.WhenBuilt);
        }
    }

    /// <summary>Made or not valid after: asked of every mark that stands and does not say it in words.</summary>
    private void AskWhatMarksSay()
    {
        if (_question.Subject is not ComponentFacts component)
        {
            return;
        }

        foreach (var mark in component.Evidence)
        {
            if (mark.Kind is not (EvidenceKind.Mark or EvidenceKind.Plate) || !CanExpire(mark.Readings))
            {
                continue;
            }

            var standing = mark.Readings.Where(reading => reading.IsExpiry || _birth.Readings.Contains(reading))
                .ToArray();
            if (standing.Any(reading => reading.IsKindUnsure)
                || standing.Select(reading => reading.IsExpiry).Distinct().Count() > 1)
            {
                _trail.Ask(DueAskCode.MadeOrExpires, mark.Text, readings: standing);
            }
        }
    }

    private static bool CanExpire(IReadOnlyList<EvidenceReading> readings)
    {
        for (var i = 0; i < readings.Count; i++)
        {
            if (readings[i].IsExpiry || readings[i].IsKindUnsure)
            {
                return true;
            }
        }

        return false;
    }

    private void AskAboutUsage()
    {
        if (_usage is not { } usage)
        {
            return;
        }

        foreach (var gap in usage.Distance.Gaps)
        {
            _trail.Ask(DueAskCode.OpenGap, days: new DateSpan(gap.From, gap.Until));
        }

        foreach (var shown in usage.Distance.Doubtful)
        {
            _trail.Ask(new(DueAskCode.CheckReading, UsageSentences.Named(shown)) { Doubted = shown });
        }
    }

    private DeferralEnd DeferralEnd()
    {
        if (_question.Subject.Deferral is not { } deferral)
        {
            return default;
        }

        if (_question.Kind.Deferral == DeferralRule.Never)
        {
            return new(true, null, null);
        }

        var until = deferral.UntilOn;
        if (deferral.UntilShown is { } shown && UsageAt(shown) is { } reached && reached <= until)
        {
            until = reached.PlusDaysClamped(-1);
        }

        // What was put off was put off until it is done.
        if (WorkDoneOn() is { } done && done >= deferral.DecidedOn && done <= until)
        {
            until = done.PlusDaysClamped(-1);
        }

        return new(false, deferral.DecidedOn ?? DateOnly.MinValue, until);
    }

    /// <summary>The earliest day on which the odometer shows a value; null when the facts do not tell.</summary>
    private DateOnly? UsageAt(ShownDistance shown)
    {
        var first = UsageAt(shown, Usage);
        foreach (var other in Usage.Alternatives)
        {
            if (UsageAt(shown, other) is { } on && !(on >= first))
            {
                first = on;
            }
        }

        return first;
    }

    private static DateOnly? UsageAt(ShownDistance shown, UsageModel usage)
    {
        CanonicalReading? last = null;
        foreach (var reading in usage.Distance.Readings)
        {
            if (shown.Instrument is not null
                && reading.Shown.Instrument is not null
                && reading.Shown.Instrument != shown.Instrument)
            {
                continue;
            }

            if (Distance.Of(reading.Shown.Value, reading.Shown.Unit) >= Distance.Of(shown.Value, shown.Unit))
            {
                return reading.On;
            }

            last = reading;
        }

        return last is null || usage.Basis == RateBasis.None
            ? null
            : usage.After(
                last.On, Distance.Of(shown.Value, shown.Unit) - Distance.Of(last.Shown.Value, last.Shown.Unit)).Early;
    }
}

/// <summary>The days between which a deferral holds.</summary>
/// <param name="Refused">The kind may never be put off.</param>
/// <param name="From">Null: there is none.</param>
/// <param name="Until">Included.</param>
internal readonly record struct DeferralEnd(bool Refused, DateOnly? From, DateOnly? Until)
{
    public DeferralStanding At(DateOnly day) =>
        Refused ? DeferralStanding.Refused
        : From is not { } from || day < from ? DeferralStanding.None
        : day <= Until ? DeferralStanding.Running
        : DeferralStanding.Ended;

    public DateOnly? NextChange(DateOnly after) =>
        From is not { } from ? null
        : after < from ? from
        : after <= Until && Until != DateOnly.MaxValue ? Until?.PlusDaysClamped(1)
        : null;
}
