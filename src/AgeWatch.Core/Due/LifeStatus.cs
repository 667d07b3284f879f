using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>What a status list says of one part or task beside its due answer: how old it is, how far it ran, what was
/// done last, what is left.</summary>
/// <remarks>
/// The model is what 14 CFR 91.417(a)(2) asks of an aircraft's record: total time, the present status of life-limited
/// parts, time since the last overhaul, and the present inspection status.
/// </remarks>
public sealed record LifeStatus
{
    private LifeStatus() { }

    /// <summary>Whole months since manufacture, for a service task since it was last done, on the day asked about.
    /// Null: not known.</summary>
    public MonthsOfAge? Age { get; private init; }

    /// <summary>Kilometres since fitting, earlier fittings included, or since the task was last done. Null: not
    /// known.</summary>
    public MovingAmount? Covered { get; private init; }

    /// <summary>The day of the present fitting; null when not known, or for a service task.</summary>
    public DateOnly? FittedOn { get; private init; }

    /// <summary>The last fill, service or lawful test; for a task the last time it was done. Null: not on
    /// record.</summary>
    public LastWork? LastDone { get; private init; }

    /// <summary>The latest inspection, of one day the worst; null: none on record.</summary>
    public Finding? LastInspected { get; private init; }

    public static LifeStatus Of(DueAnswer answer)
    {
        var question = answer.Question;
        DueTrail trail = new(question.KnownOn);
        var start = new ClockStarts(question, answer.Born, trail)
            .Of(question.Subject is ServiceTaskFacts ? AgeAnchor.Service : AgeAnchor.Fitting);
        var usage = answer.Usage
            ?? question.Usage
            ?? UsageModel.For(
                question.Vehicle.Usage, [question.Subject], question.KnownOn, question.Alpha, question.Today);
        bool IsKnown(DateOnly? on) => on is { } day && !(day > question.KnownOn);
        var evidence = question.Subject is ComponentFacts component ? component.Evidence : [];
        return new()
        {
            Age = answer.Born.Span is { } born
                ? new(born.Last.WholeMonthsUntil(answer.AsOf), born.First.WholeMonthsUntil(answer.AsOf))
                : null,
            Covered = Assessment.CarriedDistance(question, start, () => usage) is { } carried
                ? DistanceClock.Covered(
                    usage, Assessment.OnPresentVehicle(question, start), carried, question.Vehicle.Built)
                : null,
            FittedOn = evidence.Where(e => e.Kind == EvidenceKind.Fitted && IsKnown(e.On)).Max(e => e.On),
            LastDone = question.Subject switch
            {
                ServiceTaskFacts task => task.Done.Where(d => IsKnown(d.On)).MaxBy(d => d.On) is { } done
                    ? new(EvidenceKind.Service, done.On, done.Odometer, done.DoneBy)
                    : null,
                _ => evidence
                    .Where(e =>
                        e.Kind is EvidenceKind.Fill or EvidenceKind.Service or EvidenceKind.Regulatory && IsKnown(e.On))
                    .MaxBy(e => e.On) is { } work
                    ? new(work.Kind, work.On!.Value, work.Odometer, work.NotedBy)
                    : null,
            },
            LastInspected = question.Subject.Findings.Where(f => IsKnown(f.On))
                .OrderBy(f => f.On)
                .ThenBy(f => f.Grade)
                .LastOrDefault(),
        };
    }

    /// <summary>Days from the day asked about until a limit is reached; zero and less: it is reached. Null: no day can
    /// be told.</summary>
    public static DaysLeft? Left(DueAnswer answer, AssessedLimit limit) => limit.Due is { } due
        ? new(
            due.First.DayNumber - answer.AsOf.DayNumber,
            due.Last == DateOnly.MaxValue ? null : due.Last.DayNumber - answer.AsOf.DayNumber)
        : null;
}

/// <param name="Least">Whole months, zero or more: counted from the latest day it can have been made.</param>
/// <param name="Most">Counted from the earliest.</param>
public readonly record struct MonthsOfAge(int Least, int Most);

/// <param name="Earliest">Days until the earliest day, which governs.</param>
/// <param name="Latest">Days until the latest; null: no latest day can be told.</param>
public readonly record struct DaysLeft(int Earliest, int? Latest);

/// <param name="Kind">Fill, service or regulatory.</param>
/// <param name="By">Who did or noted it; null: not said.</param>
public sealed record LastWork(EvidenceKind Kind, DateOnly On, ShownDistance? Odometer, string? By);
