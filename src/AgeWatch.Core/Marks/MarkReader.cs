namespace AgeWatch.Core.Marks;

/// <summary>Reads date marks. Pure: the same question has the same answer, on any day and any thread.</summary>
public static class MarkReader
{
    [ThreadStatic]
    private static ReadingCollector? shared;

    /// <summary>Says all that a mark can mean. Never throws for what a person can type.</summary>
    /// <param name="question">The text and what is known about the part.</param>
    /// <param name="ownConventions">A club's own conventions; they take part in undeclared reading and can be
    /// named.</param>
    public static MarkAnswer Read(MarkQuestion question, IReadOnlyList<MarkConvention>? ownConventions = null)
    {
        ArgumentNullException.ThrowIfNull(question);
        Span<char> clean = stackalloc char[MarkCleaner.Room];
        if (MarkCleaner.Clean(
            question.Text, clean, out var length, out var triangle, out var unreadable) is { } refusal)
        {
            return AnswerBuilder.Refused(null, refusal);
        }

        if (unreadable > 0)
        {
            unreadable -= TyreNumber.FillBeforeDate(clean[..length]);
        }

        if (unreadable > MarkCompletions.MostUnreadable)
        {
            return AnswerBuilder.Refused(null, DropCode.TooManyUnreadable);
        }

        var collector = shared ??= new();
        collector.Reset(question);
        var own = ownConventions ?? [];
        var text = clean[..length];
        if (Declared(question) is { } key)
        {
            if (Find(key, own) is not { } convention)
            {
                return AnswerBuilder.Refused(key, DropCode.UnknownConvention);
            }

            collector.Plan.Add(new(convention, PlanReason.Named));
            if (!MarkCompletions.Read(text, triangle, unreadable, collector)
                && !LegendText.Read(text, triangle, unreadable, collector))
            {
                collector.Refuse(DropCode.Malformed);
            }
        }
        else
        {
            ReadUndeclared(question, own, text, triangle, unreadable, collector);
        }

        RuledOutReadings.DropBeyondAnyLife(collector);
        return AnswerBuilder.Build(collector, unreadable > 0);
    }

    private static string? Declared(MarkQuestion question) =>
        question.Convention is { Length: > 0 } key && key != MarkQuestion.Undeclared ? key : null;

    private static MarkConvention? Find(string key, IReadOnlyList<MarkConvention> own)
    {
        if (MarkConventions.Find(key) is { } known)
        {
            return known;
        }

        for (var i = 0; i < own.Count; i++)
        {
            if (own[i].Key == key)
            {
                return own[i];
            }
        }

        return null;
    }

    private static void ReadUndeclared(
        MarkQuestion question, IReadOnlyList<MarkConvention> own, Span<char> text, bool triangle, int unreadable,
        ReadingCollector collector)
    {
        if (question.TryConventions.Count > 0)
        {
            PlanListed(question.TryConventions, PlanReason.Named, own, collector);
            ReadPlanned(text, triangle, unreadable, collector);
            return;
        }

        var narrowed = question.HasKind;
        if (narrowed)
        {
            PlanListed(question.Likely, PlanReason.Named, own, collector);
            PlanListed(question.Possible, PlanReason.OnThisPart, own, collector);
            PlanPlain(collector);
        }
        else
        {
            PlanAll(MarkConventions.All, PlanReason.Possible, collector);
        }

        PlanAll(own, PlanReason.Possible, collector);
        ReadPlanned(text, triangle, unreadable, collector);
        if (narrowed && collector.Kept.Count == 0 && !collector.FormIsSure)
        {
            collector.Plan.Clear();
            PlanAll(MarkConventions.All, PlanReason.NothingUsualFits, collector);
            ReadPlanned(text, triangle, unreadable, collector);
        }

        RuledOutReadings.Settle(collector, text);
    }

    /// <summary>The text as a whole; where that is no date, the dates among the other words of a legend.</summary>
    private static void ReadPlanned(Span<char> text, bool triangle, int unreadable, ReadingCollector collector)
    {
        MarkCompletions.Read(text, triangle, unreadable, collector);
        if (collector.Kept.Count == 0)
        {
            LegendText.Read(text, triangle, unreadable, collector);
        }
    }

    private static void PlanPlain(ReadingCollector collector)
    {
        for (var i = 0; i < PlainText.Conventions.Count; i++)
        {
            var convention = MarkConventions.Find(PlainText.Conventions[i])!;
            if (!IsPlanned(convention, collector))
            {
                collector.Plan.Add(new(convention, PlanReason.Plain));
            }
        }
    }

    private static bool IsPlanned(MarkConvention convention, ReadingCollector collector)
    {
        foreach (var step in collector.Plan)
        {
            if (step.Convention == convention)
            {
                return true;
            }
        }

        return false;
    }

    private static void PlanListed(
        IReadOnlyList<string> keys, PlanReason reason, IReadOnlyList<MarkConvention> own, ReadingCollector collector)
    {
        for (var i = 0; i < keys.Count; i++)
        {
            if (Find(keys[i], own) is { } convention)
            {
                collector.Plan.Add(new(convention, reason));
            }
            else
            {
                collector.DropUnknown(keys[i]);
            }
        }
    }

    private static void PlanAll(
        IReadOnlyList<MarkConvention> conventions, PlanReason reason, ReadingCollector collector)
    {
        for (var i = 0; i < conventions.Count; i++)
        {
            collector.Plan.Add(new(conventions[i], reason));
        }
    }
}
