namespace AgeWatch.Core.Due;

/// <summary>What the dated facts of a part say of when it was there.</summary>
/// <param name="ExistedOn">The first day on which it is known to have existed; null: no fact has a day.</param>
/// <param name="NewOn">The first day on which it was bought or fitted; null: none is known.</param>
/// <param name="FirstPaper">The document or fitted day behind <paramref name="NewOn"/>; null when an earlier stay
/// is.</param>
/// <param name="IsSinceNobodyKnows">It was on a vehicle before, and nobody knows since when.</param>
internal readonly record struct Existence(
    DateOnly? ExistedOn, DateOnly? NewOn, Evidence? FirstPaper, bool IsSinceNobodyKnows)
{
    public static Existence Of(ComponentFacts component, DueTrail trail)
    {
        DateOnly? existed = null;
        DateOnly? bought = null;
        Evidence? paper = null;
        foreach (var evidence in component.Evidence)
        {
            if (evidence is not { Kind: not EvidenceKind.Presumption, On: { } on } || trail.SetAside(evidence, on))
            {
                continue;
            }

            existed = on < existed || existed is null ? on : existed;
            if (evidence.Kind is EvidenceKind.Document or EvidenceKind.Fitted && !(on >= bought))
            {
                (bought, paper) = (on, evidence);
            }
        }

        foreach (var finding in component.Findings)
        {
            if (!(finding.On >= existed) && !trail.SetAside(finding.On, finding: finding))
            {
                existed = finding.On;
            }
        }

        var sinceNobodyKnows = false;
        foreach (var stay in component.Stays)
        {
            if (stay.From is { } from)
            {
                existed = from < existed || existed is null ? from : existed;
                (bought, paper) = from < bought || bought is null ? (from, null) : (bought, paper);
            }
            else if (stay.Until is { } until)
            {
                existed = until < existed || existed is null ? until : existed;

                // Bought or fitted by then only where a paper says so.
                sinceNobodyKnows |= !(bought < until);
            }
        }

        return new(existed, bought, paper, sinceNobodyKnows);
    }

    /// <summary>The days on which it can have been made when it came from the shelf on the first day on which it is
    /// known; null: nothing says that it did.</summary>
    /// <param name="shelf">Months that it can have lain on the shelf.</param>
    /// <param name="built">When the vehicle it was first on was built.</param>
    /// <param name="isContradicted">A mark would make it younger than <see cref="ExistedOn"/>.</param>
    public DateSpan? Bought(int shelf, DateSpan? built, bool isContradicted)
    {
        // A part that was there before its vehicle was built is older than the presumption says; and one whose mark
        // says that it is younger than it can be is at least as old as that day, built when it may.
        var isBought = NewOn is not null && !IsSinceNobodyKnows;
        var isOlder = ExistedOn < built?.First || isContradicted && built is null;
        return ExistedOn is { } there && (isBought || isOlder)
            ? new(there.PlusMonthsClamped(-shelf), there)
            : null;
    }
}
