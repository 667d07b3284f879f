namespace AgeWatch.Core.Marks;

/// <summary>Reads date marks. Pure: the same question has the same answer, on any day and any thread.</summary>
public static class MarkReader
{
    [ThreadStatic]
    private static ReadingSink? shared;

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

        var sink = shared ??= new();
        sink.Reset(question);
        var own = ownConventions ?? [];
        var text = clean[..length];
        if (Declared(question) is { } key)
        {
            if (Find(key, own) is not { } convention)
            {
                return AnswerBuilder.Refused(key, DropCode.UnknownConvention);
            }

            sink.Plan.Add(new(convention, PlanReason.Named));
            if (!MarkCompletions.Read(text, triangle, unreadable, sink)
                && !LegendText.Read(text, triangle, unreadable, sink))
            {
                sink.Refuse(DropCode.Malformed);
            }
        }
        else
        {
            ReadUndeclared(question, own, text, triangle, unreadable, sink);
        }

        Rivals.DropBeyondAnyLife(sink);
        return AnswerBuilder.Build(sink, unreadable > 0);
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
        ReadingSink sink)
    {
        if (question.TryConventions.Count > 0)
        {
            PlanListed(question.TryConventions, PlanReason.Named, own, sink);
            ReadPlanned(text, triangle, unreadable, sink);
            return;
        }

        var narrowed = question.HasKind;
        if (narrowed)
        {
            PlanListed(question.Likely, PlanReason.Named, own, sink);
            PlanListed(question.Possible, PlanReason.OnThisPart, own, sink);
            PlanPlain(sink);
        }
        else
        {
            PlanAll(MarkConventions.All, PlanReason.Possible, sink);
        }

        PlanAll(own, PlanReason.Possible, sink);
        ReadPlanned(text, triangle, unreadable, sink);
        if (narrowed && sink.Kept.Count == 0 && !sink.FormIsSure)
        {
            sink.Plan.Clear();
            PlanAll(MarkConventions.All, PlanReason.NothingUsualFits, sink);
            ReadPlanned(text, triangle, unreadable, sink);
        }

        Rivals.Settle(sink, text);
    }

    /// <summary>The text as a whole; where that is no date, the dates among the other words of a legend.</summary>
    private static void ReadPlanned(Span<char> text, bool triangle, int unreadable, ReadingSink sink)
    {
        MarkCompletions.Read(text, triangle, unreadable, sink);
        if (sink.Kept.Count == 0)
        {
            LegendText.Read(text, triangle, unreadable, sink);
        }
    }

    private static void PlanPlain(ReadingSink sink)
    {
        for (var i = 0; i < PlainText.Conventions.Count; i++)
        {
            var convention = MarkConventions.Find(PlainText.Conventions[i])!;
            if (!IsPlanned(convention, sink))
            {
                sink.Plan.Add(new(convention, PlanReason.Plain));
            }
        }
    }

    private static bool IsPlanned(MarkConvention convention, ReadingSink sink)
    {
        foreach (var step in sink.Plan)
        {
            if (step.Convention == convention)
            {
                return true;
            }
        }

        return false;
    }

    private static void PlanListed(
        IReadOnlyList<string> keys, PlanReason reason, IReadOnlyList<MarkConvention> own, ReadingSink sink)
    {
        for (var i = 0; i < keys.Count; i++)
        {
            if (Find(keys[i], own) is { } convention)
            {
                sink.Plan.Add(new(convention, reason));
            }
            else
            {
                sink.DropUnknown(keys[i]);
            }
        }
    }

    private static void PlanAll(IReadOnlyList<MarkConvention> conventions, PlanReason reason, ReadingSink sink)
    {
        for (var i = 0; i < conventions.Count; i++)
        {
            sink.Plan.Add(new(conventions[i], reason));
        }
    }
}
