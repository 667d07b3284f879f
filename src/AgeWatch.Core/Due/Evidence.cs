using AgeWatch.Core.Marks;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

public enum EvidenceKind
{
    /// <summary>A date mark on the part.</summary>
    Mark,

    /// <summary>A maker's plate; read like a mark.</summary>
    Plate,

    /// <summary>An invoice or another dated paper: the part existed on that day.</summary>
    Document,

    /// <summary>The day the part was fitted.</summary>
    Fitted,

    /// <summary>The day a fluid was filled.</summary>
    Fill,

    /// <summary>The day the part was serviced, emptied, repacked or tested as its clock asks.</summary>
    Service,

    /// <summary>A day that starts a legal clock, such as an installation test.</summary>
    Regulatory,

    /// <summary>Nothing is known: a part is as old as its vehicle until proved otherwise.</summary>
    Presumption,
}

/// <summary>One fact from which an age can be told. Nothing is ever deleted for conflicting with another.</summary>
public sealed record Evidence
{
    public required EvidenceKind Kind { get; init; }

    /// <summary>For a mark or plate the day it was seen; for all others the day the evidence speaks of.</summary>
    public DateOnly? On { get; init; }

    /// <summary>What the odometer showed on that day.</summary>
    public ShownDistance? Odometer { get; init; }

    /// <summary>Running hours on that day.</summary>
    public decimal? Hours { get; init; }

    internal HoursReading? ShownHours => On is { } on && Hours is { } hours ? new(on, hours) : null;

    /// <summary>A mark's text as read.</summary>
    public string? Text { get; init; }

    /// <summary>Every meaning of a mark or plate that its reader kept; empty when it could not be read.</summary>
    public IReadOnlyList<EvidenceReading> Readings { get; init; } = [];

    /// <summary>Why a mark that could be read cannot be true; null when it can, or was not read at all.</summary>
    public string? Impossible { get; init; }

    public string? NotedBy { get; init; }

    public DateOnly? NotedOn { get; init; }
}

/// <summary>One meaning of a mark.</summary>
/// <param name="Days">The whole period it can mean, both ends included, never clipped.</param>
/// <param name="Convention">Key of the convention it was read by.</param>
/// <param name="IsExpiry">The period ends the part's life (good through its last day) instead of starting it.</param>
/// <param name="MarginMonths">Months by which such marks are known to be off, either way; zero or more.</param>
public readonly record struct EvidenceReading(
    DateSpan Days, string? Convention = null, bool IsExpiry = false, int MarginMonths = 0)
{
    /// <summary>A person named the convention, so that no bound sets it aside.</summary>
    public bool IsNamed { get; init; }

    /// <summary>Nothing on the part says whether the period is one of manufacture or of expiry.</summary>
    public bool IsKindUnsure { get; init; }

    /// <summary>Set aside by the reader while another reading stands; null: not.</summary>
    public AgeBound? Below { get; init; }

    /// <summary><see cref="Days"/> with the margin on both sides: what an age is counted from.</summary>
    public DateSpan Possible => MarginMonths == 0
        ? Days
        : new(Days.First.PlusMonthsClamped(-MarginMonths), Days.Last.PlusDaysClamped(1)
            .PlusMonthsClamped(MarginMonths)
            .PlusDaysClamped(-1));
}
