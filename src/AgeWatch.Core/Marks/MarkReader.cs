namespace AgeWatch.Core.Marks;

/// <summary>Reads date marks. Pure: the same question has the same answer, on any day and any thread.</summary>
public static class MarkReader
{
    [ThreadStatic]
    private static ReadingSink? shared;

    /// <summary>Says all that a mark can mean. Never throws for what a person can type.</summary>
    /// <param name="question">The text and what is known about the part.</param>
    /// <param name="ownConventions">A club's own conventions; they take part in undeclared reading and can be named.</param>
    public static MarkAnswer Read(MarkQuestion question, IReadOnlyList<MarkConvention>? ownConventions = null)
    {
        ArgumentNullException.ThrowIfNull(question);
        Span<char> clean = stackalloc char[MarkCleaner.Room];
        if (MarkCleaner.Clean(question.Text, clean, out var length, out var triangle, out var unreadable) is { } refusal)
        {
            return AnswerBuilder.Refused(null, refusal);
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

            if (!ReadBy(convention, named: true, text, triangle, unreadable, MarkAssumption.None, sink))
            {
                sink.Refuse(DropCode.Malformed);
            }
        }
        else
        {
            ReadUndeclared(question, own, text, triangle, unreadable, sink);
        }

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
        MarkQuestion question, IReadOnlyList<MarkConvention> own, Span<char> text, bool triangle, int unreadable, ReadingSink sink)
    {
        if (question.TryConventions.Count > 0)
        {
            ReadListed(question.TryConventions, named: true, own, text, triangle, unreadable, sink);
            return;
        }

        if (question.Likely.Count + question.Possible.Count > 0)
        {
            ReadListed(question.Likely, named: true, own, text, triangle, unreadable, sink);
            ReadListed(question.Possible, named: false, own, text, triangle, unreadable, sink);
            ReadAll(own, text, triangle, unreadable, MarkAssumption.None, sink);
            if (sink.Kept.Count > 0)
            {
                return;
            }

            ReadAll(MarkConventions.All, text, triangle, unreadable, MarkAssumption.NotUsualHere, sink);
            return;
        }

        ReadAll(MarkConventions.All, text, triangle, unreadable, MarkAssumption.None, sink);
        ReadAll(own, text, triangle, unreadable, MarkAssumption.None, sink);
    }

    private static void ReadListed(
        IReadOnlyList<string> keys, bool named, IReadOnlyList<MarkConvention> own, Span<char> text, bool triangle, int unreadable,
        ReadingSink sink)
    {
        for (var i = 0; i < keys.Count; i++)
        {
            if (Find(keys[i], own) is { } convention)
            {
                ReadBy(convention, named, text, triangle, unreadable, MarkAssumption.None, sink);
            }
            else
            {
                sink.DropUnknown(keys[i]);
            }
        }
    }

    private static void ReadAll(
        IReadOnlyList<MarkConvention> conventions, Span<char> text, bool triangle, int unreadable, MarkAssumption assumed, ReadingSink sink)
    {
        for (var i = 0; i < conventions.Count; i++)
        {
            ReadBy(conventions[i], named: false, text, triangle, unreadable, assumed, sink);
        }
    }

    /// <summary>False when the text has not the convention's form, however completed.</summary>
    private static bool ReadBy(
        MarkConvention convention, bool named, Span<char> text, bool triangle, int unreadable, MarkAssumption assumed, ReadingSink sink)
    {
        if (unreadable > 0)
        {
            return MarkCompletions.Read(convention, named, text, triangle, assumed | MarkAssumption.Completed, sink);
        }

        return ReadOne(convention, named, text, triangle, assumed, sink);
    }

    /// <summary>As written first; only if that has not the form, with a letter O among figures as a zero.</summary>
    internal static bool ReadOne(
        MarkConvention convention, bool named, ReadOnlySpan<char> text, bool triangle, MarkAssumption assumed, ReadingSink sink)
    {
        Span<char> compact = stackalloc char[text.Length];
        Span<Piece> pieces = stackalloc Piece[MarkText.MostPieces];
        var asWritten = new MarkText(text, compact, pieces, triangle);
        sink.Open(convention, named, asWritten, assumed);
        if (asWritten.SaysExpiry && convention is { KindIsFixed: true, Kind: MarkKind.Manufacture })
        {
            sink.Refuse(DropCode.NotAManufacture);
            return true;
        }

        convention.Read(asWritten, sink);
        if (sink.Understood)
        {
            return true;
        }

        Span<char> zeros = stackalloc char[text.Length];
        if (!LetterO.AsZeros(text, zeros))
        {
            return false;
        }

        var withZeros = new MarkText(zeros, compact, pieces, triangle);
        sink.Open(convention, named, withZeros, assumed | MarkAssumption.LetterOIsZero);
        convention.Read(withZeros, sink);
        return sink.Understood;
    }
}
