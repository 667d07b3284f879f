namespace AgeWatch.Core.Due;

/// <summary>One limit that counts, as the days on which it can come due.</summary>
/// <param name="Earliest">The first day on which it can be reached; it governs.</param>
/// <param name="Latest">The day on which it is reached for certain.</param>
/// <param name="Force">A stop-use level is mandatory whatever this says.</param>
public readonly record struct DueLine(
    LimitLevel Level, DateOnly Earliest, DateOnly Latest, Force Force = Force.Recommended)
{
    internal bool IsMandatory => Force == Force.Mandatory || Level == LimitLevel.StopUse;
}

/// <summary>The state without its explanation.</summary>
/// <param name="Governing">Index of the governing line; −1 when there is none.</param>
/// <param name="NextChangeOn">The first later day on which state, certainty, force or governing line differ; null:
/// never.</param>
public readonly record struct DueVerdict(DueState State, Certainty Certainty, int Governing, DateOnly? NextChangeOn)
{
    /// <summary>Mandatory when any line behind the state is, not only the one that governs; null: no line is behind
    /// it.</summary>
    public Force? Force { get; init; }
}

/// <summary>The rule from due days to a state. It allocates nothing; the full answer rests on it too.</summary>
public static class DueCheck
{
    /// <summary>Where a part stands that has exactly one limit, by age.</summary>
    /// <param name="months">Zero or more.</param>
    /// <param name="warningDays">Zero or more.</param>
    public static DueVerdict AgeLimit(
        DateSpan born, int months, EndRule endRule, LimitLevel level, DateOnly asOf, int warningDays)
    {
        if (asOf < born.First)
        {
            return new(DueState.Unknown, Certainty.Possible, -1, born.First); // It had not been made.
        }

        var line = new DueLine(level, DueOn(born.First, months, endRule), DueOn(born.Last, months, endRule));
        return At(new ReadOnlySpan<DueLine>(in line), hasNoBasis: false, asOf, warningDays);
    }

    /// <summary>The day on which a limit is reached that counts <paramref name="months"/> from <paramref
    /// name="anchor"/>.</summary>
    public static DateOnly DueOn(DateOnly anchor, int months, EndRule endRule)
    {
        var day = anchor.PlusMonthsClamped(months);
        return endRule switch
        {
            EndRule.Day => day,
            EndRule.MonthEnd =>
                new DateOnly(day.Year, day.Month, DateTime.DaysInMonth(day.Year, day.Month)).PlusDaysClamped(1),
            EndRule.YearEnd => new DateOnly(day.Year, 12, 31).PlusDaysClamped(1),
        };
    }

    /// <param name="lines">Every limit that counts, in any order.</param>
    /// <param name="hasNoBasis">A limit counts whose due days cannot be told: the state is unknown or worse.</param>
    /// <param name="warningDays">Zero or more.</param>
    /// <param name="isLookOpen">Only when to look at it cannot be told: it may be due for that, and is not
    /// unknown.</param>
    public static DueVerdict At(
        ReadOnlySpan<DueLine> lines, bool hasNoBasis, DateOnly asOf, int warningDays, bool isLookOpen = false)
    {
        var now = Stand(lines, hasNoBasis, isLookOpen, asOf, warningDays);
        var day = asOf;
        while (NextEvent(lines, day, warningDays) is { } next)
        {
            var then = Stand(lines, hasNoBasis, isLookOpen, next, warningDays);
            if (then != now)
            {
                return now with { NextChangeOn = next };
            }

            day = next;
        }

        return now;
    }

    private static DueVerdict Stand(
        ReadOnlySpan<DueLine> lines, bool hasNoBasis, bool isLookOpen, DateOnly day, int warningDays)
    {
        var reached = -1;
        var next = -1;
        for (var i = 0; i < lines.Length; i++)
        {
            ref readonly var line = ref lines[i];
            if (line.Earliest <= day)
            {
                if (reached < 0 || line.Level > lines[reached].Level
                    || line.Level == lines[reached].Level && Before(line, lines[reached]))
                {
                    reached = i;
                }
            }
            else if (next < 0 || Before(line, lines[next]))
            {
                next = i;
            }
        }

        var inspectOnly = reached >= 0 && lines[reached].Level == LimitLevel.InspectFrom;
        if (hasNoBasis && (reached < 0 || inspectOnly))
        {
            return new(DueState.Unknown, Certainty.Possible, -1, null);
        }

        if (reached >= 0)
        {
            var level = lines[reached].Level;
            var certain = false;
            var mandatory = false;
            foreach (ref readonly var line in lines)
            {
                certain |= line.Level == level && line.Latest <= day;
                mandatory |= line.Level == level && line.Earliest <= day && line.IsMandatory;
            }

            var state = level switch
            {
                LimitLevel.StopUse => DueState.StopUse,
                LimitLevel.ReplaceBy => DueState.Overdue,
                LimitLevel.InspectFrom => DueState.InspectDue,
            };
            return new(state, certain ? Certainty.Certain : Certainty.Possible, reached, null)
            {
                Force = Of(mandatory),
            };
        }

        if (isLookOpen)
        {
            return new(DueState.InspectDue, Certainty.Possible, -1, null);
        }

        if (next < 0)
        {
            return new(DueState.InLife, Certainty.Certain, -1, null);
        }

        if (day < Warning(lines[next].Earliest, warningDays))
        {
            return new(DueState.InLife, Certainty.Certain, next, null) { Force = Of(lines[next].IsMandatory) };
        }

        var surely = false;
        var isMandatory = false;
        foreach (ref readonly var line in lines)
        {
            surely |= Warning(line.Latest, warningDays) <= day;
            isMandatory |= Warning(line.Earliest, warningDays) <= day && line.IsMandatory;
        }

        return new(DueState.DueSoon, surely ? Certainty.Certain : Certainty.Possible, next, null)
        {
            Force = Of(isMandatory),
        };
    }

    private static Force Of(bool isMandatory) => isMandatory ? Force.Mandatory : Force.Recommended;

    // Of lines on one day the worse level is shown: its consequence is the one to know.
    private static bool Before(in DueLine a, in DueLine b) =>
        a.Earliest != b.Earliest ? a.Earliest < b.Earliest
        : a.Level != b.Level ? a.Level > b.Level
        : a.Latest < b.Latest;

    private static DateOnly? NextEvent(ReadOnlySpan<DueLine> lines, DateOnly after, int warningDays)
    {
        var next = DateOnly.MaxValue;
        var found = false;
        foreach (ref readonly var line in lines)
        {
            Consider(line.Earliest);
            Consider(line.Latest);
            Consider(Warning(line.Earliest, warningDays));
            Consider(Warning(line.Latest, warningDays));
        }

        return found ? next : null;

        void Consider(DateOnly day)
        {
            // The end of the calendar stands for "never".
            if (day > after && day <= next && day < DateOnly.MaxValue)
            {
                next = day;
                found = true;
            }
        }
    }

    private static DateOnly Warning(DateOnly due, int warningDays) =>
        due == DateOnly.MaxValue ? due : due.PlusDaysClamped(-warningDays);
}
