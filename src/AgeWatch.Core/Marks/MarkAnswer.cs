namespace AgeWatch.Core.Marks;

/// <summary>All that a mark can mean. An unreadable mark is an answer too.</summary>
public sealed class MarkAnswer
{
    internal MarkAnswer(MarkReading[] readings, DroppedReading[] dropped, OpenQuestion[] questions)
    {
        Readings = readings;
        Dropped = dropped;
        Questions = questions;
    }

    public MarkOutcome Outcome => Readings.Count switch
    {
        0 => MarkOutcome.None,
        1 => MarkOutcome.One,
        _ => MarkOutcome.Several,
    };

    /// <summary>Distinct in days and kind, the earliest first.</summary>
    public IReadOnlyList<MarkReading> Readings { get; }

    /// <summary>What was considered and ruled out. When a convention was named, also why it could not be read.</summary>
    public IReadOnlyList<DroppedReading> Dropped { get; }

    /// <summary>The earliest reading: doubt shortens a life. Null when there is none.</summary>
    public MarkReading? Governing => Readings.Count == 0 ? null : Readings[0];

    /// <summary>What would leave fewer readings, the most telling first.</summary>
    public IReadOnlyList<OpenQuestion> Questions { get; }

    /// <summary>Tag of the governing reading's convention; null when there is no reading.</summary>
    public Tag? Tag => Governing?.Conventions[0].Tag;

    /// <summary>Source of the governing reading's convention; null when there is no reading.</summary>
    public string? Source => Governing?.Conventions[0].Source;

    /// <summary>The outcome in one sentence.</summary>
    public string Reason => Readings.Count switch
    {
        0 when Dropped.Count == 0 => "No convention that is known here has this form.",
        0 => MostTelling().Reason,
        1 => $"It means {Readings[0].Span}.",
        _ => $"It can mean {Readings.Count} different things; the earliest, {Readings[0].Span}, governs.",
    };

    /// <summary>A meaning that failed on the facts says more than a form that did not fit.</summary>
    private DroppedReading MostTelling()
    {
        foreach (var dropped in Dropped)
        {
            if (dropped.Span is not null)
            {
                return dropped;
            }
        }

        return Dropped[0];
    }
}
