namespace AgeWatch.Core.Marks;

/// <summary>Reads a mark with unreadable characters in every way they can be completed.</summary>
internal static class MarkCompletions
{
    public const int MostUnreadable = 2;

    private const string Figures = "0123456789";
    private const string FiguresAndLetters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

    /// <summary>One unreadable character can be a figure or a letter; of two, both are taken for figures.</summary>
    /// <param name="text">Cleaned; each <c>?</c> is replaced in place while reading and restored.</param>
    public static bool Read(
        MarkConvention convention, bool named, Span<char> text, bool triangle, MarkAssumption assumed, ReadingSink sink)
    {
        var first = text.IndexOf('?');
        var second = text[(first + 1)..].IndexOf('?') is var after and >= 0 ? first + 1 + after : -1;
        var understood = false;
        foreach (var one in second < 0 ? FiguresAndLetters : Figures)
        {
            text[first] = one;
            if (second < 0)
            {
                understood |= MarkReader.ReadOne(convention, named, text, triangle, assumed, sink);
                continue;
            }

            foreach (var other in Figures)
            {
                text[second] = other;
                understood |= MarkReader.ReadOne(convention, named, text, triangle, assumed, sink);
            }
        }

        text[first] = '?';
        if (second >= 0)
        {
            text[second] = '?';
        }

        return understood;
    }
}
