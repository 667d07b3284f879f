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

    /// <summary>
    /// Readings that nobody would believe beside the others, each with the bound it lies below, the earliest first.
    /// They do not govern; empty when nothing nearer stands, and when the convention was named.
    /// </summary>
    public IReadOnlyList<RemoteReading> Remote { get; init; } = [];

    /// <summary>What was considered and ruled out. When a convention was named, also why it could not be
    /// read.</summary>
    public IReadOnlyList<DroppedReading> Dropped { get; }

    /// <summary>
    /// The earliest reading: doubt shortens a life. Of expiries, which are good through their last day, the one that
    /// ends first. Null when there is no reading.
    /// </summary>
    public MarkReading? Governing
    {
        get
        {
            if (Readings.Count == 0)
            {
                return null;
            }

            var governing = Readings[0];
            for (var i = 1; i < Readings.Count && governing.Kind == MarkKind.Expiry; i++)
            {
                if (Readings[i].Kind == MarkKind.Expiry && Readings[i].Span.Last < governing.Span.Last)
                {
                    governing = Readings[i];
                }
            }

            return governing;
        }
    }

    /// <summary>What would leave fewer readings, the most telling first.</summary>
    public IReadOnlyList<OpenQuestion> Questions { get; }

    /// <summary>Tag of the governing reading's convention; null when there is no reading.</summary>
    public Tag? Tag => Governing?.Conventions[0].Tag;

    /// <summary>Source of the governing reading's convention; null when there is no reading.</summary>
    public string? Source => Governing?.Conventions[0].Source;

    /// <summary>
    /// It could be read, and all that it can mean is impossible: no such day, or later than the facts allow. False for
    /// a text in which no date was found.
    /// </summary>
    public bool IsImpossible
    {
        get
        {
            if (Readings.Count > 0)
            {
                return false;
            }

            var found = false;
            foreach (var dropped in Dropped)
            {
                if (dropped.Code == DropCode.CouldBeBore)
                {
                    return false; // It may be a date after all.
                }

                found |= dropped.IsImpossible;
            }

            return found;
        }
    }

    /// <summary>The outcome in one sentence.</summary>
    public string Reason => Readings.Count switch
    {
        0 when Dropped.Count == 0 => "No convention that is known here has this form.",
        0 when IsImpossible && MostTelling() is { IsImpossible: true } telling =>
            $"What it says is impossible. {telling.Reason}",
        0 => MostTelling().Reason,
        1 => $"It means {Readings[0].Span}.",
        _ => $"It can mean {Readings.Count} different things; the earliest, {Governing!.Value.Span}, governs.",
    };

    /// <summary>The last meaning that was doubted says most, then one that failed on the facts, then a form that did
    /// not fit.</summary>
    private DroppedReading MostTelling()
    {
        if (Dropped[^1].Code is DropCode.CouldBeBore or DropCode.BeyondAnyLife)
        {
            return Dropped[^1];
        }

        foreach (var dropped in Dropped)
        {
            if (dropped.Span is not null)
            {
                return dropped;
            }
        }

        foreach (var dropped in Dropped)
        {
            if (dropped.IsImpossible)
            {
                return dropped;
            }
        }

        return Dropped[0];
    }
}
