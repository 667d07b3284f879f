namespace AgeWatch.Core.Marks;

/// <summary>The letter O that people type where a zero stands.</summary>
internal static class LetterO
{
    /// <summary>Whether an O touches a figure, directly or through other Os.</summary>
    public static bool Touches(ReadOnlySpan<char> text)
    {
        Span<char> zeros = stackalloc char[text.Length];
        return AsZeros(text, zeros);
    }

    /// <summary>Writes the text with every O that touches a figure, directly or through other Os, as a zero.</summary>
    /// <returns>False when there is none; <paramref name="zeros"/> is then of no use.</returns>
    public static bool AsZeros(ReadOnlySpan<char> text, Span<char> zeros)
    {
        if (!text.Contains('O'))
        {
            return false;
        }

        text.CopyTo(zeros);
        var changed = false;
        for (var i = 1; i < zeros.Length; i++)
        {
            if (zeros[i] == 'O' && char.IsAsciiDigit(zeros[i - 1]))
            {
                zeros[i] = '0';
                changed = true;
            }
        }

        for (var i = zeros.Length - 2; i >= 0; i--)
        {
            if (zeros[i] == 'O' && char.IsAsciiDigit(zeros[i + 1]))
            {
                zeros[i] = '0';
                changed = true;
            }
        }

        return changed;
    }
}
