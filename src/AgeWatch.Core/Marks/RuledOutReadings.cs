namespace AgeWatch.Core.Marks;

/// <summary>
/// Readings of an undeclared mark that one fact rules out though their figures fit. Conventions the caller listed are
/// never ruled out so.
/// </summary>
internal static class RuledOutReadings
{
    /// <summary>
    /// Years that an expiry of two year figures may lie ahead when nothing nearer fits. The longest service life on a
    /// label known here is 20 years (UN R110, from memory); 30 is our choice.
    /// </summary>
    public const int LongestLife = 30;

    public static void Settle(ReadingCollector collector, ReadOnlySpan<char> text)
    {
        if (HoseLegend.IsBareBore(text) && IsUsaHose(collector.Question))
        {
            DropAll(collector, DropCode.CouldBeBore);
        }

        if (collector.Question.SoldInUsa && IsUsaHose(collector.Question))
        {
            Keep(collector, static c => c.Convention.Order.HasFlag(
                MarkOrder.UsaHose), static _ => false, static (collector, c) =>
                collector.DroppedOnes.Add(new(c.Convention.Key, c.Span, DropCode.LawOfPlace)));
        }

        Keep(
            collector,
            static c => c.Convention.Order.HasFlag(MarkOrder.TyreFigures) && c.YearDigits == 2
                && c.Span.First >= Conventions.TinWeekYear.FourFiguresKnown,
            static c => !c.Convention.Order.HasFlag(MarkOrder.RareTyre),
            static (collector, c) => collector.Rare.Add(c));
    }

    /// <summary>06/94 after "do not use after" is a misread 1994 rather than 2094: it must not look good for a
    /// lifetime.</summary>
    public static void DropBeyondAnyLife(ReadingCollector collector)
    {
        if ((collector.Question.Observed ?? collector.Question.Today) is not { } seen || collector.Kept.Count == 0)
        {
            return;
        }

        var last = seen.PlusMonthsClamped(12 * LongestLife);
        foreach (var candidate in collector.Kept)
        {
            if (candidate.Kind != MarkKind.Expiry || candidate.YearDigits >= 4 || candidate.Span.First <= last)
            {
                return;
            }
        }

        DropAll(collector, DropCode.BeyondAnyLife);
    }

    private static void DropAll(ReadingCollector collector, DropCode code)
    {
        foreach (var candidate in collector.Kept)
        {
            collector.DroppedOnes.Add(new(candidate.Convention.Key, candidate.Span, code));
        }

        collector.Kept.Clear();
    }

    /// <summary>A kind of hose on which the USA prescribe the legend (49 CFR 571.106 S5.2.2): one order of the date,
    /// and the bore beside it.</summary>
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

    /// <summary>When one reading wins, those that neither win nor are spared are put elsewhere.</summary>
    private static void Keep(
        ReadingCollector collector, Func<ReadingCollector.Candidate, bool> wins, Func<ReadingCollector.Candidate,
            bool> spared,
        Action<ReadingCollector, ReadingCollector.Candidate> put)
    {
        var kept = collector.Kept;
        if (!kept.Exists(new Predicate<ReadingCollector.Candidate>(wins)))
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
                put(collector, candidate);
            }
        }

        kept.RemoveRange(next, kept.Count - next);
    }
}
