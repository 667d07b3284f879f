namespace AgeWatch.Core.Usage;

/// <summary>A reading that was accepted, with the distance covered since the first one.</summary>
/// <param name="Low">Least distance since the first accepted reading, exact.</param>
/// <param name="High">Most; greater than <paramref name="Low"/> only after a rollover that can be read in several ways,
/// or a gap between two odometers.</param>
/// <param name="Continues">Its distance from the reading before it is known.</param>
/// <param name="Rollovers">How often the drums wrapped since the reading before it, at least.</param>
public sealed record CanonicalReading(ShownDistance Shown, Distance Low, Distance High, bool Continues, int Rollovers)
{
    public DateOnly On => Shown.On;
}

public enum RefusalReason
{
    Negative,

    /// <summary>It has more figures than the odometer has drums.</summary>
    BeyondDrums,

    /// <summary>It shows less than an earlier reading and no believable rollover explains it.</summary>
    Backwards,

    /// <summary>Farther than can be believed for the days between.</summary>
    TooFar,

    /// <summary>The odometer named is not one of the vehicle's.</summary>
    NoSuchOdometer,

    /// <summary>Several odometers, and neither the reading nor its day says which.</summary>
    WhichOdometer,

    /// <summary>Before the odometer was fitted, after it was removed, or after its successor was read.</summary>
    OutsideOdometer,

    /// <summary>Dated after the day on which the facts are stated.</summary>
    NotYet,
}

/// <summary>A reading that is kept on record but plays no part.</summary>
/// <param name="Suggestion">What it may have been meant to be, in its own unit: two figures swapped, or the other
/// unit.</param>
public sealed record RefusedReading(ShownDistance Shown, RefusalReason Reason, TypingSlip? Suggestion);

/// <param name="Kind">What may have happened.</param>
/// <param name="Value">The value that would fit.</param>
/// <param name="Unit">The unit in which it would fit.</param>
public sealed record TypingSlip(SlipKind Kind, decimal Value, DistanceUnit Unit);

public enum SlipKind
{
    SwappedFigures,
    WrongUnit,
}

/// <summary>A gap whose distance can be read in several ways.</summary>
/// <param name="Increments">Every believable distance, the least first; for two odometers without a common day the
/// least and the most.</param>
public sealed record OpenGap(DateOnly From, DateOnly Until, IReadOnlyList<Distance> Increments, bool BetweenOdometers);

/// <summary>A step that is farther than usual for the days between, yet was accepted: it makes limits come
/// sooner.</summary>
public sealed record UnusualStep(ShownDistance Shown, decimal KilometresPerDay, TypingSlip? Suggestion);
