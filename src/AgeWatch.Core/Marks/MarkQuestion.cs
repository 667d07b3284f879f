namespace AgeWatch.Core.Marks;

/// <summary>A mark as read off a part, with what is known about the part. Nothing but the text is required.</summary>
/// <param name="Text">As typed, at most <see cref="MaxTextLength"/> characters; <c>?</c> stands for one unreadable
/// character.</param>
public sealed record MarkQuestion(string Text)
{
    /// <summary>Longest text that is read; anything longer is refused without looking at it.</summary>
    public const int MaxTextLength = 120;

    /// <summary>The convention word that means the same as none.</summary>
    public const string Undeclared = "undeclared";

    /// <summary>Key of the one convention to read by; null or <see cref="Undeclared"/> to try all that are
    /// possible.</summary>
    public string? Convention { get; init; }

    /// <summary>The day the mark was seen. A part cannot have been made after it.</summary>
    public DateOnly? Observed { get; init; }

    /// <summary>The day of asking. Where <see cref="Observed"/> is not known it bounds in its place: nothing is seen
    /// before it is made.</summary>
    public DateOnly? Today { get; init; }

    /// <summary>Readings that end before this day are dropped.</summary>
    public DateOnly? NotBefore { get; init; }

    /// <summary>Readings that start after this day are dropped.</summary>
    public DateOnly? NotAfter { get; init; }

    /// <summary>When the vehicle was built, as exactly as known.</summary>
    public DateSpan? VehicleBuilt { get; init; }

    /// <summary>Yes: the part left the works with the car, so it was not made after <see
    /// cref="VehicleBuilt"/>.</summary>
    public YesNo OriginalEquipment { get; init; }

    /// <summary>
    /// What tells that the part is hardly older, the strongest first. Readings below are remote while a nearer one
    /// stands; a named convention or an earliest day given lifts them.
    /// </summary>
    public IReadOnlyList<AgeBound> Bounds { get; init; } = [];

    /// <summary>Where the part was sold, ISO 3166-1 alpha-2; null when unknown.</summary>
    public string? Country { get; init; }

    /// <summary>Nobody named the convention, or conventions to choose from.</summary>
    internal bool IsUndeclared => TryConventions.Count == 0 && Convention is null or "" or Undeclared;

    /// <summary>Something is known about the kind of part.</summary>
    internal bool HasKind => Likely.Count + Possible.Count > 0;

    internal bool SoldInUsa => string.Equals(Country, "US", StringComparison.OrdinalIgnoreCase);

    /// <summary>Whether a filled triangle follows the three figures of a tyre.</summary>
    public YesNo Triangle { get; init; }

    public LetterScheme LetterScheme { get; init; }

    /// <summary>Whether the date is known to be one of manufacture or of expiry; the words on the part outrank
    /// it.</summary>
    public MarkKind? Role { get; init; }

    /// <summary>For an undeclared mark: try exactly these conventions. Empty: see <see cref="Likely"/>.</summary>
    public IReadOnlyList<string> TryConventions { get; init; } = [];

    /// <summary>Conventions usual on this kind of part. They are tried first; with <see cref="Possible"/> they narrow
    /// the search.</summary>
    public IReadOnlyList<string> Likely { get; init; } = [];

    /// <summary>Conventions met now and then on this kind of part.</summary>
    public IReadOnlyList<string> Possible { get; init; } = [];
}
