namespace AgeWatch.Core.Marks;

/// <summary>Reads a cleaned text by every planned convention, with unreadable characters completed in every
/// way.</summary>
internal static class MarkCompletions
{
    public const int MostUnreadable = 2;

    private const string Figures = "0123456789";
    private const string FiguresAndLetters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

    /// <summary>One unreadable character can be a figure or a letter; two are both taken for figures.</summary>
    /// <param name="text">Each <c>?</c> is replaced in place while reading and restored.</param>
    /// <returns>Whether any convention found its form.</returns>
    public static bool Read(Span<char> text, bool triangle, int unreadable, ReadingCollector collector)
    {
        if (unreadable == 0)
        {
            return ReadText(text, triangle, MarkAssumption.None, collector);
        }

        var first = text.IndexOf('?');
        var second = text.LastIndexOf('?');
        var understood = false;
        foreach (var one in unreadable == 1 ? FiguresAndLetters : Figures)
        {
            if (unreadable == 1)
            {
                text[first] = one;
                understood |= ReadText(text, triangle, MarkAssumption.Completed, collector);
                continue;
            }

            foreach (var other in Figures)
            {
                text[first] = one;
                text[second] = other;
                understood |= ReadText(text, triangle, MarkAssumption.Completed, collector);
            }
        }

        text[first] = text[second] = '?';
        return understood;
    }

    /// <summary>As written first; a convention that finds no form there gets it with letters O among figures as
    /// zeros.</summary>
    internal static bool ReadText(
        ReadOnlySpan<char> text, bool triangle, MarkAssumption assumed, ReadingCollector collector)
    {
        Span<char> compact = stackalloc char[text.Length];
        Span<Piece> pieces = stackalloc Piece[MarkText.MostPieces];
        var asWritten = new MarkText(text, compact, pieces, triangle);

        Span<char> zeros = stackalloc char[text.Length];
        Span<char> zerosCompact = stackalloc char[text.Length];
        Span<Piece> zerosPieces = stackalloc Piece[MarkText.MostPieces];
        var hasZeros = LetterO.AsZeros(text, zeros);
        var withZeros = hasZeros ? new MarkText(zeros, zerosCompact, zerosPieces, triangle) : default;

        var understood = false;
        for (var i = 0; i < collector.Plan.Count; i++)
        {
            var step = collector.Plan[i];
            understood |= ReadBy(step, asWritten, assumed, collector)
                || (hasZeros && ReadBy(step, withZeros, assumed | MarkAssumption.LetterOIsZero, collector));
        }

        return understood;
    }

    /// <summary>Most letters in place of an unreadable character fit few forms; the others need not be tried, nor say
    /// why not.</summary>
    private static bool CannotFit(PlannedConvention step, in MarkText text, ReadingCollector collector) =>
        step.Reason is not PlanReason.Named && collector.Plan.Count > 1 && !text.SaysExpiry
        && ((step.Convention.FiguresOnly && text.Numbers == 0)
            || (text.LoneLetters & ~step.Convention.LoneLetters) != 0);

    private static bool ReadBy(
        PlannedConvention step, in MarkText text, MarkAssumption assumed, ReadingCollector collector)
    {
        if (CannotFit(step, text, collector) || (step.Reason == PlanReason.Plain && !step.Convention.IsPlain(text)))
        {
            return false;
        }

        collector.Open(step, text, assumed);
        if (text.SaysExpiry && step.Convention is { KindIsFixed: true, Kind: MarkKind.Manufacture })
        {
            if (collector.OnThisPart)
            {
                collector.Refuse(DropCode.NotAManufacture);
            }

            return collector.OnThisPart;
        }

        step.Convention.Read(text, collector);
        return collector.Understood;
    }
}

/// <summary>Why a convention is tried.</summary>
internal enum PlanReason
{
    /// <summary>The caller named it, or it is usual on the kind of part.</summary>
    Named,

    /// <summary>It is met on the kind of part now and then.</summary>
    OnThisPart,

    /// <summary>It is not met on the kind of part, but anybody can write so: only plain texts are read by
    /// it.</summary>
    Plain,

    /// <summary>Nothing is known of the part.</summary>
    Possible,

    /// <summary>Nothing known of the part fitted.</summary>
    NothingUsualFits,
}

/// <summary>A convention to try.</summary>
internal readonly record struct PlannedConvention(MarkConvention Convention, PlanReason Reason);
