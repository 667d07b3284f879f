namespace AgeWatch.Core.Marks;

/// <summary>
/// Readings of an undeclared mark that one fact rules out though their figures fit. Conventions the caller listed are never
/// ruled out so.
/// </summary>
internal static class Rivals
{
    public static void Settle(ReadingSink sink)
    {
        if (sink.Question.SoldInUsa && IsUsaHose(sink.Question))
        {
            Keep(sink, DropCode.LawOfPlace, static c => c.Convention.Order.HasFlag(MarkOrder.UsaHose), static _ => false);
        }

        Keep(
            sink,
            DropCode.RareForm,
            static c => c.Convention.Order.HasFlag(MarkOrder.TyreFigures) && c.YearDigits == 2
                && c.Span.First >= Conventions.TinWeekYear.FourFiguresKnown,
            static c => !c.Convention.Order.HasFlag(MarkOrder.RareTyre));
    }

    /// <summary>A brake hose sold in the USA: 49 CFR 571.106 S5.2.2(c) leaves one order only.</summary>
    private static bool IsUsaHose(MarkQuestion question)
    {
        for (var i = 0; i < question.Likely.Count; i++)
        {
            if (MarkConventions.Find(question.Likely[i])?.Order.HasFlag(MarkOrder.UsaHose) == true)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>When one reading wins, those that neither win nor are spared are dropped.</summary>
    private static void Keep(
        ReadingSink sink, DropCode code, Func<ReadingSink.Candidate, bool> wins, Func<ReadingSink.Candidate, bool> spared)
    {
        var kept = sink.Kept;
        if (!kept.Exists(new Predicate<ReadingSink.Candidate>(wins)))
        {
            return;
        }

        var next = 0;
        for (var i = 0; i < kept.Count; i++)
        {
            var candidate = kept[i];
            if (wins(candidate) || spared(candidate))
            {
                kept[next++] = candidate;
            }
            else
            {
                sink.DroppedOnes.Add(new(candidate.Convention.Key, candidate.Span, code));
            }
        }

        kept.RemoveRange(next, kept.Count - next);
    }
}
