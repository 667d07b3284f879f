using AgeWatch.Core.Due;
using NodaTime;

namespace AgeWatch.Core.Tests.Due;

/// <summary>
/// The rule of the due answer once more, deliberately naive: it never computes a due day. It asks of every single day
/// whether a limit is reached on it, by counting the whole months that have passed (NodaTime), and looks ahead day by
/// day. It covers components with marks, documents, fitted days, age limits, printed days and findings.
/// </summary>
internal static class NaiveEvaluator
{
    /// <summary>Whether law, label, maker, standard, a stop-use line or a bad finding stands behind an overdue part or
    /// one that must not be used: it is asked of the evaluator with nothing else left.</summary>
    public static Force ForceOfOverdue(DueQuestion question)
    {
        var part = (ComponentFacts)question.Subject;
        var all = question.Kind.Limits.Concat(part.OwnLimits).ToArray();
        var binding = all.Where(limit => !all.Any(other => Outranks(other, limit)))
            .Where(limit => limit.Level == LimitLevel.StopUse
                || limit.Tag is Tag.Law or Tag.Label or Tag.Maker or Tag.Standard);
        var bound = question with
        {
            Kind = question.Kind with { Limits = [.. binding], InspectEveryMonths = null },
            Subject = part with { OwnLimits = [] },
        };
        return State(bound).State is DueState.StopUse or DueState.Overdue ? Force.Mandatory : Force.Recommended;
    }

    public static (DueState State, Certainty Certainty) State(DueQuestion question)
    {
        var part = (ComponentFacts)question.Subject;
        if (question.AsOf < Starts(AgeAnchor.Manufacture)?.First)
        {
            return (DueState.Unknown, Certainty.Possible);
        }

        var limits = question.Kind.Limits.Concat(part.OwnLimits).ToArray();
        var counting = limits.Where(limit => !limits.Any(other => Outranks(other, limit))).ToArray();
        var look = part.Findings.OrderBy(finding => finding.On).ThenBy(finding => finding.Grade).LastOrDefault();

        foreach (var (level, state) in new[] { (LimitLevel.StopUse, DueState.StopUse), (
            LimitLevel.ReplaceBy, DueState.Overdue) })
        {
            if (Reached(level, question.AsOf, latest: false))
            {
                return (state, Reached(level, question.AsOf, latest: true) ? Certainty.Certain : Certainty.Possible);
            }
        }

        var nothing = counting.Length == 0 && question.Kind.InspectEveryMonths is null
            && (look is null || look.Grade == FindingGrade.Pass)
                && part.Findings.All(finding => finding.Grade < FindingGrade.Fail || IsPassedLater(finding));
        if (nothing || LifeUntold() || (LookUntold() && !LifeTold()))
        {
            return (DueState.Unknown, Certainty.Possible);
        }

        if (LookUntold() || Reached(LimitLevel.InspectFrom, question.AsOf, latest: false))
        {
            return (DueState.InspectDue, Reached(LimitLevel.InspectFrom, question.AsOf, latest: true)
                ? Certainty.Certain
                : Certainty.Possible);
        }

        if (!Soon(latest: false))
        {
            return (DueState.InLife, Certainty.Certain);
        }

        return (DueState.DueSoon, Soon(latest: true) ? Certainty.Certain : Certainty.Possible);

        bool IsPassedLater(Finding bad) =>
            part.Findings.Any(later => later.Grade == FindingGrade.Pass && later.On > bad.On);

        bool IsTold(Limit limit) => limit.LastDay is not null || Starts(limit.From) is not null;

        bool LifeTold() => counting.Any(limit => limit.Level != LimitLevel.InspectFrom && IsTold(limit));

        bool LifeUntold() => counting.Any(limit => limit.Level != LimitLevel.InspectFrom && !IsTold(limit));

        bool LookUntold() =>
            counting.Any(limit => limit.Level == LimitLevel.InspectFrom
                && !IsTold(limit) && !(IsInspectLine(limit) && look is not null))
            || (question.Kind.InspectEveryMonths is not null
                && look is null
                && !counting.Any(IsInspectLine)
                && Starts(AgeAnchor.Manufacture) is null);

        bool Soon(bool latest) =>
            Enumerable.Range(0, question.WarningDays + 1).Select(ahead => question.AsOf.AddDays(ahead))
                .Any(day => Enum.GetValues<LimitLevel>().Any(level => Reached(level, day, latest)));

        bool Reached(LimitLevel level, DateOnly day, bool latest)
        {
            if (level != LimitLevel.InspectFrom)
            {
                var bad = level == LimitLevel.StopUse ? FindingGrade.Unfit : FindingGrade.Fail;
                return part.Findings.Any(finding =>
                        finding.Grade == bad && finding.On <= day && !IsPassedLater(finding))
                    || counting.Any(limit => limit.Level == level && IsReached(limit, day, latest));
            }

            var lines = counting.Where(limit => limit.Level == level).ToArray();
            if (look is null)
            {
                return lines.Any(limit => IsReached(limit, day, latest))
                    || (question.Kind.InspectEveryMonths is { } first && !lines.Any(IsInspectLine)
                        && Starts(AgeAnchor.Manufacture) is { } born
                            && Passed(latest ? born.Last : born.First, day, first));
            }

            var printed = lines.Where(limit => limit.LastDay is not null).Any(limit => IsReached(limit, day, latest));
            var months = question.Kind.InspectEveryMonths
                ?? (lines.Any(IsInspectLine) || look.Grade > FindingGrade.Pass ? 12 : int.MaxValue);
            if (months == int.MaxValue)
            {
                return printed;
            }

            var again = Passed(look.On, day, look.Grade > FindingGrade.Pass ? Math.Max(1, months / 2) : months);
            var untold = lines.Any(limit => IsInspectLine(limit) && Starts(limit.From) is null);
            var old = look.Grade > FindingGrade.Pass || untold
                || (lines.Any(IsInspectLine)
                    ? lines.Where(IsInspectLine).Any(limit => IsReached(limit, day, latest))
                    : Starts(AgeAnchor.Manufacture) is not { } made
                        || Passed(latest ? made.Last : made.First, day, months));
            return printed || (again && old);
        }

        bool IsInspectLine(Limit limit) => limit is { Level: LimitLevel.InspectFrom, Months: not null };

        bool IsReached(Limit limit, DateOnly day, bool latest)
        {
            if (limit.LastDay is { } last)
            {
                return day > last;
            }

            if (Starts(limit.From) is not { } start)
            {
                return false;
            }

            var from = latest ? start.Last : start.First;
            return limit.EndRule switch
            {
                EndRule.Day => Passed(from, day, limit.Months!.Value),
                EndRule.MonthEnd => Passed(from, new DateOnly(day.Year, day.Month, 1).AddDays(-1), limit.Months!.Value),
                EndRule.YearEnd => Passed(from, new DateOnly(day.Year, 1, 1).AddDays(-1), limit.Months!.Value),
                _ => throw new NotSupportedException(),
            };
        }

        DateSpan? Starts(AgeAnchor anchor)
        {
            var bought = Days(EvidenceKind.Document)
                .Concat(Days(EvidenceKind.Fitted))
                .DefaultIfEmpty(DateOnly.MaxValue)
                .Min();
            var existed = part.Evidence.Where(evidence => evidence.On is not null)
                .Select(evidence => evidence.On!.Value)
                .Concat(part.Findings.Select(finding => finding.On))
                .DefaultIfEmpty(DateOnly.MaxValue)
                .Min();
            if (anchor == AgeAnchor.Fitting)
            {
                if (Days(EvidenceKind.Fitted).Concat(Days(EvidenceKind.Document)).Any())
                {
                    var fitted = Days(EvidenceKind.Fitted).ToArray();
                    return DateSpan.Day(fitted.Length > 0 ? fitted.Min() : Days(EvidenceKind.Document).Min());
                }

                if (part.Original && question.Vehicle.Built is { } built)
                {
                    return built;
                }
            }

            var possible = part.Evidence.Where(evidence => evidence.Kind is EvidenceKind.Mark or EvidenceKind.Plate)
                .SelectMany(evidence => Believed([.. evidence.Readings.Select(Widened)
                    .Where(days => days.First <= (evidence.On ?? DateOnly.MaxValue) && days.First <= existed)
                    .Where(days => !part.Original
                        || question.Vehicle.Built is null
                        || days.First <= question.Vehicle.Built.Value.Last)], bought, existed)).ToArray();
            return possible.Length > 0 ? new DateSpan(possible.Min(days => days.First), possible.Max(days => days.Last))
                : part.Original && question.Vehicle.Built is not null ? question.Vehicle.Built
                : Bought(bought, existed) ?? question.Vehicle.Built ?? Contradicted(existed);
        }

        // A kind of no first year here. Ten years before the car; the shelf before a part was bought, with a paper of
        // its first three months, or ten years before it was fitted.
        DateSpan[] Believed(DateSpan[] meanings, DateOnly bought, DateOnly existed)
        {
            var near = meanings.Where(days => question.Vehicle.Built is not { } car || question.Kind.FitsAnyCar
                || days.Last >= Local(car.First).PlusMonths(-120).ToDateOnly()).ToArray();
            near = near.Length > 0 ? near : meanings;
            if (part.Original || bought == DateOnly.MaxValue)
            {
                return near;
            }

            var shelf = Math.Min(question.Kind.Shelf.Value, question.Kind.StorageLimit?.Value ?? int.MaxValue);
            var isBought = Days(EvidenceKind.Document).Any(on => on <= Local(existed).PlusMonths(3).ToDateOnly());
            var since = Local(existed).PlusMonths(isBought ? -shelf : -120).ToDateOnly();
            var fresh = near.Where(days => days.Last >= since).ToArray();
            return fresh.Length > 0 ? fresh : near;
        }

        // A mark that says that it is younger than it can be: at least as old as the day on which it was seen.
        DateSpan? Contradicted(DateOnly existed) =>
            part.Evidence.Any(evidence => evidence.Readings.Count > 0
                && evidence.Readings.All(reading => Widened(reading).First > (evidence.On ?? DateOnly.MaxValue)
                    || Widened(reading).First > existed)
                && evidence.Readings.Any(reading => Widened(reading).First > existed))
                ? new(Local(existed).PlusMonths(-question.Kind.Shelf.Value).ToDateOnly(), existed)
                : null;

        // From the shelf if it was ever bought or fitted; older than its car only if seen before that was built.
        DateSpan? Bought(DateOnly bought, DateOnly existed) =>
            bought < DateOnly.MaxValue || existed < question.Vehicle.Built?.First
                ? new(Local(existed).PlusMonths(-question.Kind.Shelf.Value).ToDateOnly(), existed)
                : null;

        IEnumerable<DateOnly> Days(EvidenceKind kind) =>
            part.Evidence.Where(evidence => evidence.Kind == kind).Select(evidence => evidence.On!.Value);
    }

    private static DateSpan Widened(EvidenceReading reading) => new(
        Local(reading.Days.First).PlusMonths(-reading.MarginMonths).ToDateOnly(),
        Local(reading.Days.Last).PlusDays(1).PlusMonths(reading.MarginMonths).PlusDays(-1).ToDateOnly());

    private static bool Passed(DateOnly from, DateOnly day, int months) =>
        day >= from && Period.Between(Local(from), Local(day), PeriodUnits.Months).Months >= months;

    private static LocalDate Local(DateOnly day) => new(day.Year, day.Month, day.Day);

    private static bool Outranks(Limit other, Limit limit)
    {
        string[] ladder = ["Law", "Label", "Maker", "Standard", "Practice"];
        var higher = Array.IndexOf(ladder, Name(other)) < Array.IndexOf(ladder, Name(limit));
        if (!higher)
        {
            return false;
        }

        if (other.LastDay is not null && limit is { Months: not null, From: AgeAnchor.Manufacture })
        {
            return other.Level == limit.Level
                || (other.Level == LimitLevel.StopUse
                    && limit.Level == LimitLevel.ReplaceBy
                    && Name(limit) is "Standard" or "Practice"
                    && limit.Level == LimitLevel.ReplaceBy
                    && other.Level == LimitLevel.StopUse);
        }

        var sameClock = other.LastDay is not null && limit.LastDay is not null
            || other.LastDay is null && limit.LastDay is null && other.From == limit.From;
        var hardLine = other.Tag == Tag.Maker && limit is { Tag: Tag.Standard, Level: LimitLevel.StopUse };
        return other.Level == limit.Level && sameClock && !hardLine;

        static string Name(Limit one) => one.Tag == Tag.Memory ? "Practice" : one.Tag.ToString();
    }
}
