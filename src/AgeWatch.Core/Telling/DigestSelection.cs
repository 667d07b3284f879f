using AgeWatch.Core.Due;

namespace AgeWatch.Core.Telling;

/// <summary>Where one subject stands tonight, as far as choosing needs to know.</summary>
/// <param name="DeferredUntil">Last day of a deferral in force.</param>
/// <param name="DeferralEndedOn">The last day of the latest deferral that is over.</param>
public sealed record DigestSubject(
    Guid SubjectId,
    DueState State,
    Certainty Certainty,
    HazardClass Hazard,
    DateOnly? DueFirst = null,
    DateOnly? DeferredUntil = null,
    DateOnly? DeferralEndedOn = null)
{
    /// <summary>Null: no limit stands behind the state.</summary>
    public Force? Force { get; init; }

    public WorstKey Worst => new(Hazard, State, Force, Certainty, DueFirst, SubjectId);
}

/// <summary>What the recipient was last shown about a subject, by a digest that was accepted or is still on its
/// way.</summary>
/// <param name="Times">Digests in a row that told of this state.</param>
public sealed record PreviousTelling(DueState State, Certainty Certainty, DateOnly On, int Times)
{
    /// <summary>Null: not noted, or no limit stood behind it.</summary>
    public Force? Force { get; init; }
}

public enum TellingReason
{
    New,

    /// <summary>A worse state, or the same one become certain or mandatory.</summary>
    Worse,

    /// <summary>A milder state that still asks for something.</summary>
    Milder,

    DeferralEnding,

    DeferralEnded,

    /// <summary>Nothing new, and too dangerous to be left alone.</summary>
    StillStanding,
}

/// <param name="Times">To be kept with the digest.</param>
public sealed record ChosenLine(DigestSubject Subject, TellingReason Reason, int Times);

/// <param name="HeldBack">Left out by the cap and so not told: they come up again.</param>
/// <param name="MovedOff">Told of before and in life now.</param>
public sealed record DigestChoice(
    IReadOnlyList<ChosenLine> Lines,
    IReadOnlyList<ChosenLine> Unknowns,
    IReadOnlyList<ChosenLine> DeferralsEnding,
    IReadOnlyList<ChosenLine> HeldBack,
    IReadOnlyList<Guid> MovedOff)
{
    public bool SaysNothing => Lines.Count + Unknowns.Count + DeferralsEnding.Count == 0;
}

/// <summary>What a digest says: what changed since the recipient was last told, and the dangers that still
/// stand.</summary>
public static class DigestSelection
{
    public const int MemberCap = 7;
    public const int OfficerCap = 20;

    private const int DeferralNoticeDays = 14;

    // Ever longer, so that a person is not worn out, and never longer than four weeks, so that silence is not taken for
    // health.
    private static readonly int[] DaysBetweenReminders = [7, 14, 28];

    public static DigestChoice Choose(
        DateOnly today, IEnumerable<DigestSubject> subjects, IReadOnlyDictionary<Guid, PreviousTelling> told, int cap)
    {
        List<ChosenLine> tellings = [];
        List<Guid> movedOff = [];
        foreach (var subject in subjects)
        {
            var before = told.GetValueOrDefault(subject.SubjectId);
            if (subject.State == DueState.InLife)
            {
                if (before is { State: not DueState.InLife })
                {
                    movedOff.Add(subject.SubjectId);
                }
            }
            else if (Reason(subject, before, today) is { } reason)
            {
                tellings.Add(new(subject, reason, SameState(subject, before) ? before!.Times + 1 : 1));
            }
        }

        return Cap(tellings, movedOff, cap);
    }

    private static TellingReason? Reason(DigestSubject subject, PreviousTelling? before, DateOnly today)
    {
        if (subject.DeferredUntil is { } until && until >= today)
        {
            var isNear = until.DayNumber - today.DayNumber <= DeferralNoticeDays;
            var isToldOfEnd = before is not null && before.On >= until.AddDays(-DeferralNoticeDays);
            if (isNear && !isToldOfEnd)
            {
                return TellingReason.DeferralEnding;
            }

            // A decision to run on quiets everything but the one line that nobody may run past.
            if (subject.State != DueState.StopUse)
            {
                return null;
            }
        }

        if (before is null or { State: DueState.InLife })
        {
            return TellingReason.New;
        }

        return subject.State < before.State
            || (subject.State == before.State
                && (subject.Certainty > before.Certainty || subject.Force < before.Force)) ? TellingReason.Worse
            : subject.State > before.State ? TellingReason.Milder
            : subject.DeferralEndedOn is { } ended && ended >= before.On && ended < today ? TellingReason.DeferralEnded
            : IsDanger(subject)
                && before.On.AddDays(DaysUntilReminder(before.Times)) <= today ? TellingReason.StillStanding
            : null;
    }

    private static bool IsDanger(DigestSubject subject) => subject.State switch
    {
        DueState.StopUse => true,
        DueState.Overdue => subject.Hazard <= HazardClass.Critical,

        // What is unknown and could kill is treated as past its limit.
        DueState.Unknown => subject.Hazard == HazardClass.Catastrophic,
        _ => false,
    };

    private static int DaysUntilReminder(int times) =>
        DaysBetweenReminders[Math.Clamp(times, 1, DaysBetweenReminders.Length) - 1];

    private static bool SameState(DigestSubject subject, PreviousTelling? before) =>
        before is not null && before.State == subject.State && before.Certainty == subject.Certainty
            && !(subject.Force < before.Force);

    private static DigestChoice Cap(List<ChosenLine> tellings, List<Guid> movedOff, int cap)
    {
        var deferrals = Ranked(tellings.Where(t => t.Reason == TellingReason.DeferralEnding));
        var unknowns = Ranked(tellings.Where(t =>
            t.Reason != TellingReason.DeferralEnding && t.Subject.State == DueState.Unknown));
        var lines = Ranked(tellings.Where(t =>
            t.Reason != TellingReason.DeferralEnding && t.Subject.State != DueState.Unknown));

        // Unknowns and endings keep a few places, so that a long list of dangers does not hide them for ever.
        var deferralPlaces = Math.Min(deferrals.Count, cap / 7);
        var unknownPlaces = Math.Min(unknowns.Count, (cap + 3) / 4);
        var linePlaces = Math.Min(lines.Count, cap - deferralPlaces - unknownPlaces);
        unknownPlaces = Math.Min(unknowns.Count, cap - deferralPlaces - linePlaces);
        deferralPlaces = Math.Min(deferrals.Count, cap - linePlaces - unknownPlaces);

        return new(
            Shown(lines, linePlaces),
            Shown(unknowns, unknownPlaces),
            Shown(deferrals, deferralPlaces),
            [.. lines.Skip(linePlaces), .. unknowns.Skip(unknownPlaces), .. deferrals.Skip(deferralPlaces)],
            movedOff);
    }

    /// <summary>Who gets a place: worst hazard first and, within it, what was not yet said before what is said
    /// again.</summary>
    private static List<ChosenLine> Ranked(IEnumerable<ChosenLine> tellings) =>
        [.. tellings.OrderBy(t => t.Subject.Hazard)
            .ThenBy(t => t.Reason == TellingReason.StillStanding)
            .ThenBy(t => t.Subject.Worst, WorstFirst.Order)];

    private static List<ChosenLine> Shown(List<ChosenLine> ranked, int places) =>
        [.. ranked.Take(places).OrderBy(t => t.Subject.Worst, WorstFirst.Order)];
}
