namespace AgeWatch.Core.Marks;

/// <summary>One meaning of a mark.</summary>
/// <remarks>Readings of several conventions that mean the same days and the same kind are one reading.</remarks>
public readonly record struct MarkReading
{
    internal MarkReading(
        IReadOnlyList<MarkConvention> conventions, MarkKind kind, DateSpan span, MarkPrecision precision,
        int yearDigits, MarkAssumption assumed)
    {
        Conventions = conventions;
        Kind = kind;
        Span = span;
        Precision = precision;
        YearDigits = (byte)yearDigits;
        Assumed = assumed;
    }

    /// <summary>All that read it so, the most likely first; never empty in an answer.</summary>
    public IReadOnlyList<MarkConvention> Conventions { get => field ?? []; }

    public MarkKind Kind { get; }

    /// <summary>
    /// Every day the mark can mean, both ends included, never clipped to what is known besides.
    /// Manufacture: the first day governs. Expiry: the part may be used through the last day.
    /// </summary>
    public DateSpan Span { get; }

    public MarkPrecision Precision { get; }

    /// <summary>Label and canonical form: <c>tin:2009-W01</c>, <c>quarter:1994-Q3</c>, <c>day:1985-04-12</c>.</summary>
    public string Canonical => Precision.Canonical(Span);

    /// <summary>What was taken for granted, in sentences; empty when nothing was.</summary>
    public IReadOnlyList<string> Assumptions => Assumed.Sentences();

    /// <summary>No words say whether it was made then or is good until then.</summary>
    internal bool IsKindUnsure => (Assumed & (MarkAssumption.PunchIsMade | MarkAssumption.WordsMissing)) != 0;

    internal byte YearDigits { get; }

    internal MarkAssumption Assumed { get; }
}
