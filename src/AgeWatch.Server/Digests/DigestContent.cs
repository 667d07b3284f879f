using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Digests;

/// <summary>All that one digest says, before it is text or HTML.</summary>
/// <param name="RuleVersion">Names the catalogue behind the answers, so that a changed default is seen as a change in
/// the rule.</param>
/// <param name="PreviousRuleVersion">Of the last digest, when it was another.</param>
/// <param name="Lines">What to act on, worst hazard first.</param>
/// <param name="Unknowns">What no safe answer can be given for; each carries the one question that settles it.</param>
/// <param name="DeferralsEnding">Decisions to run past a limit that end soon.</param>
/// <param name="MovedOff">What the recipient was told of and has since put right.</param>
/// <param name="HeldBack">Lines left out by the cap.</param>
/// <param name="HeldBackGravest">Those of them whose failure could kill: a short list must not look like a short
/// danger.</param>
/// <param name="Troubles">What only an officer can mend: mail that does not arrive, a webhook that was
/// disabled.</param>
/// <param name="ListLink">Where everything is, the held-back lines too.</param>
internal sealed record DigestContent(
    string Club,
    string Recipient,
    DateOnly LocalDate,
    string RuleVersion,
    IReadOnlyList<DigestLine> Lines,
    IReadOnlyList<DigestLine> Unknowns,
    IReadOnlyList<DigestLine> DeferralsEnding,
    IReadOnlyList<string> MovedOff,
    int HeldBack,
    IReadOnlyList<DigestCaution> Cautions,
    string? PreviousRuleVersion = null,
    IReadOnlyList<string>? Troubles = null,
    Uri? ListLink = null,
    Uri? UnsubscribeLink = null,
    int HeldBackGravest = 0)
{
    public const string LinksAreSecret = "Whoever has this mail can open them, so do not pass it on.";

    public const string DeferTo = "Local codes and licensed practice take precedence.";

    public bool SaysNothing => Lines.Count + Unknowns.Count + DeferralsEnding.Count + (Troubles?.Count ?? 0) == 0;

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
                counts.Add($"{Lines.Count} to act on");
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

/// <summary>One line: one action.</summary>
/// <param name="Owner">Whose vehicle; only in an officer's digest.</param>
/// <param name="Action">A sentence, verb first, naming part and vehicle.</param>
/// <param name="Why">What was reached when, the number with its unit.</param>
/// <param name="Tag">Where the number comes from; null: no number is behind it (a finding, an unknown).</param>
/// <param name="Reference">The publication behind the number, by its id in the catalogue, or what the owner noted;
/// null: none is named.</param>
/// <param name="Evidence">What the age rests on.</param>
/// <param name="Question">The one question that would settle or sharpen it.</param>
/// <param name="DeferredUntil">Last day of the deferral.</param>
internal sealed record DigestLine(
    Guid SubjectId,
    string Vehicle,
    string Action,
    string Why,
    Tag? Tag,
    string? Evidence,
    HazardClass Hazard,
    DueState State,
    Certainty Certainty,
    DateSpan? Due,
    LifeLine? Life = null,
    string? Owner = null,
    string? Question = null,
    DateOnly? DeferredUntil = null,
    Uri? VehicleLink = null,
    string? Reference = null);

/// <param name="Heading">For what work.</param>
internal sealed record DigestCaution(string Heading, string Text)
{
    /// <summary>The sentence that every caution ends with stands once at the foot, where it holds for all of
    /// them.</summary>
    public static DigestCaution From(Caution caution) =>
        new(caution.Title, caution.Text.Replace(DigestContent.DeferTo, "", StringComparison.Ordinal).TrimEnd());
}
