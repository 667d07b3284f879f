using AgeWatch.Core.Due;

namespace AgeWatch.Server.Digests;

/// <summary>All that one digest says, before it is text or HTML.</summary>
internal sealed record DigestContent
{
    public required string Club { get; init; }

    public required string Recipient { get; init; }

    public required DateOnly LocalDate { get; init; }

    /// <summary>Names the catalogue behind the answers, so that a changed default is seen as a change in
    /// the rule.</summary>
    public required string RuleVersion { get; init; }

    /// <summary>What to act on, worst hazard first.</summary>
    public required IReadOnlyList<DigestLine> Lines { get; init; }

    /// <summary>What no safe answer can be given for; each carries the one question that settles it.</summary>
    public required IReadOnlyList<DigestLine> Unknowns { get; init; }

    /// <summary>Decisions to run past a limit that end soon.</summary>
    public required IReadOnlyList<DigestLine> DeferralsEnding { get; init; }

    /// <summary>What the recipient was told of and has since put right.</summary>
    public required IReadOnlyList<string> MovedOff { get; init; }

    /// <summary>Lines left out by the cap.</summary>
    public required int HeldBack { get; init; }

    public required IReadOnlyList<DigestCaution> Cautions { get; init; }

    /// <summary>Of the last digest, when it was another.</summary>
    public required string? PreviousRuleVersion { get; init; }

    /// <summary>What only an officer can mend: mail that does not arrive, a webhook that was
    /// disabled.</summary>
    public required IReadOnlyList<string>? Troubles { get; init; }

    /// <summary>Where everything is, the held-back lines too.</summary>
    public required Uri? ListLink { get; init; }

    public required Uri? UnsubscribeLink { get; init; }

    /// <summary>Those of them whose failure could kill: a short list must not look like a short
    /// danger.</summary>
    public required int HeldBackGravest { get; init; }

    public const string LinksAreSecret = "Whoever has this mail can open them, so do not pass it on.";

    public const string DeferTo = "Local codes and licensed practice take precedence.";

    public bool SaysNothing => Lines.Count + Unknowns.Count + DeferralsEnding.Count + (Troubles?.Count ?? 0) == 0;

    /// <summary>How many of the lines are mandatory, to stand behind their count; empty: none is.</summary>
    public string MandatoryAside =>
        Lines.Count(line => line.Force == Force.Mandatory) is > 0 and var count ? $" ({count} mandatory)" : "";

    /// <summary>What is not said here, without a full stop.</summary>
    public string HeldBackSentence =>
        $"{HeldBack} more held back to keep this "
            + $"short{(HeldBackGravest > 0 ? $"; {HeldBackGravest} of them could kill" : "")}";

    /// <summary>The last day of the links, in the club's zone; null: there are none.</summary>
    public DateOnly? LinksUntil => ListLink is null ? null : DigestLinks.LastDay(LocalDate);

    /// <summary>The mail's subject: counts and the day, no names of parts that a lock screen would show.</summary>
    public string Subject
    {
        get
        {
            List<string> counts = [];
            if (Lines.Count > 0)
            {
                counts.Add($"{Lines.Count} to act on{MandatoryAside}");
            }

            if (Unknowns.Count > 0)
            {
                counts.Add($"{Unknowns.Count} unknown");
            }

            if (DeferralsEnding.Count > 0)
            {
                counts.Add($"{DeferralsEnding.Count} deferred until soon");
            }

            if (Troubles is { Count: > 0 })
            {
                counts.Add($"{Troubles.Count} to mend");
            }

            if (HeldBack > 0)
            {
                counts.Add($"{HeldBack} held back");
            }

            return $"{string.Join(", ", counts)} - {Club} {LocalDate:yyyy-MM-dd}";
        }
    }
}
