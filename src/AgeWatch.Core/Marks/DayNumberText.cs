namespace AgeWatch.Core.Marks;

/// <summary>Two groups of figures, together or with one sign between, and perhaps a shift or line character
/// behind.</summary>
internal static class DayNumberText
{
    /// <summary>A letter may follow directly or after a sign; a figure only after a plus or a dash.</summary>
    public static bool TryRead(
        in MarkText text, int first, int second, out int a, out int b, out MarkAssumption assumed)
    {
        a = b = 0;
        assumed = MarkAssumption.None;
        var rest = text.Body;
        if (!Take(ref rest, first, out a))
        {
            return false;
        }

        if (!rest.IsEmpty && rest[0] is ' ' or '-' or '.' or '/')
        {
            rest = rest[1..];
        }

        if (!Take(ref rest, second, out b))
        {
            return false;
        }

        if (rest.IsEmpty)
        {
            return true;
        }

        assumed = MarkAssumption.SuffixIgnored;
        return rest.Length == 1 ? char.IsAsciiLetterUpper(rest[0])
            : rest.Length == 2 && ((rest[0] is ' ' or '-' or '+' or '/' && char.IsAsciiLetterUpper(rest[1]))
                || (rest[0] is '-' or '+' && char.IsAsciiDigit(rest[1])));
    }

    private static bool Take(ref ReadOnlySpan<char> rest, int count, out int value)
    {
        value = 0;
        if (rest.Length < count)
        {
            return false;
        }

        for (var i = 0; i < count; i++)
        {
            if (!char.IsAsciiDigit(rest[i]))
            {
                return false;
            }

            value = value * 10 + (rest[i] - '0');
        }

        rest = rest[count..];
        return true;
    }
}
