using System.Globalization;
using System.Text;

namespace AgeWatch.Core.Marks;

/// <summary>Turns what people type into one plain form: upper case, ASCII digits and separators, single
/// spaces.</summary>
internal static class MarkCleaner
{
    /// <summary>Room for any text of the greatest length: a Roman numeral sign becomes at most four letters.</summary>
    public const int Room = 4 * MarkQuestion.MaxTextLength;

    /// <summary>Null when the text may be read. The work is bounded by the greatest length whatever the text.</summary>
    /// <param name="clean">At least <see cref="Room"/> characters.</param>
    /// <param name="length">How many of them are used.</param>
    /// <param name="triangle">A triangle sign was met; it is taken out.</param>
    /// <param name="unreadable">How many <c>?</c> there are.</param>
    public static DropCode? Clean(
        ReadOnlySpan<char> raw, Span<char> clean, out int length, out bool triangle, out int unreadable)
    {
        length = 0;
        triangle = false;
        unreadable = 0;
        if (raw.Length > MarkQuestion.MaxTextLength)
        {
            return DropCode.TextTooLong;
        }

        while (!raw.IsEmpty)
        {
            if (raw[0] is >= '0' and <= '9' or >= 'A' and <= 'Z')
            {
                clean[length++] = raw[0];
                raw = raw[1..];
                continue;
            }

            if (Rune.DecodeFromUtf16(raw, out var rune, out var used) != System.Buffers.OperationStatus.Done)
            {
                return DropCode.HostileText;
            }

            raw = raw[used..];
            if (!Append(rune, clean, ref length, ref triangle, ref unreadable))
            {
                return DropCode.HostileText;
            }
        }

        while (length > 0 && IsEdge(clean[length - 1]))
        {
            length--;
        }

        var start = 0;
        while (start < length && IsEdge(clean[start]))
        {
            start++;
        }

        clean[start..length].CopyTo(clean);
        length -= start;
        return length == 0 ? DropCode.Empty : null;
    }

    /// <summary>False for signs that no part carries and that could mislead a reader of the answer.</summary>
    private static bool Append(Rune rune, Span<char> clean, ref int length, ref bool triangle, ref int unreadable)
    {
        if (Rune.IsDigit(rune))
        {
            clean[length++] = (char)('0' + (int)Rune.GetNumericValue(rune));
            return true;
        }

        var sign = rune.Value is >= 0xFF01 and <= 0xFF5E ? rune.Value - 0xFEE0 : rune.Value;
        if (sign is >= 'a' and <= 'z')
        {
            clean[length++] = (char)(sign - 32);
            return true;
        }

        if (sign is >= 0x2160 and <= 0x217B)
        {
            Roman[(sign - 0x2160) % 16].CopyTo(clean[length..]);
            length += Roman[(sign - 0x2160) % 16].Length;
            return true;
        }

        if (IsTriangle(sign))
        {
            triangle = true;
            Space(clean, ref length);
            return true;
        }

        if (sign is '?' or 0x061F or 0x00BF)
        {
            unreadable++;
            clean[length++] = '?';
            return true;
        }

        if (Separator(sign) is var separator and not '\0')
        {
            if (length > 0 && clean[length - 1] == ' ')
            {
                length--;
            }

            clean[length++] = separator;
            return true;
        }

        return AppendOther(rune, sign, clean, ref length);
    }

    private static bool AppendOther(Rune rune, int sign, Span<char> clean, ref int length)
    {
        if (sign is '\t' or '\r' or '\n' or '_' or ',' or '"' or '\'' or '`' or 0xB4 or '(' or ')' or '[' or ']' or '{'
            or '}'
            or (>= 0x2018 and <= 0x201F) or 0x2032 or 0x2033)
        {
            Space(clean, ref length);
            return true;
        }

        // Soft hyphen, zero-width signs and direction marks come along when text is copied and show nothing.
        if (sign is 0xAD or (>= 0x200B and <= 0x200F) or 0x2060 or 0xFEFF)
        {
            return true;
        }

        if (rune == Rune.ReplacementChar)
        {
            return false;
        }

        switch (Rune.GetUnicodeCategory(rune))
        {
            case UnicodeCategory.SpaceSeparator or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator:
                Space(clean, ref length);
                return true;
            case UnicodeCategory.NonSpacingMark:
                return true;
            case UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.PrivateUse
                or UnicodeCategory.Surrogate
                or UnicodeCategory.OtherNotAssigned:
                return false;
            default:
                clean[length++] = sign is > 0 and <= char.MaxValue
                    ? Unaccented(char.ToUpperInvariant((char)sign))
                    : '\uFFFD';
                return true;
        }
    }

    private static readonly string[] Roman =
        ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII", "L", "C", "D", "M"];

    private static bool IsTriangle(int sign) => sign is '<' or '>' or (>= 0x25B2 and <= 0x25C5) or 0x2206 or 0x0394;

    private static char Separator(int sign) => sign switch
    {
        '-' or (>= 0x2010 and <= 0x2015) or 0x2212 or 0x2043 or 0xFE58 or 0xFE63 => '-',
        '/' or '\\' or '|' or 0x2044 or 0x2215 or 0x2571 => '/',
        '.' or 0xB7 or 0x2022 or 0x2219 or 0x22C5 or 0x2024 or 0x2027 or 0x3002 or 0x30FB => '.',
        ':' or ';' or '=' or '+' => (char)sign,
        _ => '\0',
    };

    /// <summary>At most one space, and none beside another separator.</summary>
    private static void Space(Span<char> clean, ref int length)
    {
        if (length > 0 && clean[length - 1] is not (' ' or '-' or '/' or '.' or ':' or ';' or '=' or '+'))
        {
            clean[length++] = ' ';
        }
    }

    private static bool IsEdge(char sign) => sign is ' ' or '-' or '/' or '.' or ':' or ';' or '=' or '+';

    private static char Unaccented(char upper) => upper switch
    {
        >= '\u00C0' and <= '\u00C5' => 'A',
        '\u00C7' => 'C',
        >= '\u00C8' and <= '\u00CB' => 'E',
        >= '\u00CC' and <= '\u00CF' => 'I',
        '\u00D1' => 'N',
        >= '\u00D2' and <= '\u00D6' => 'O',
        >= '\u00D9' and <= '\u00DC' => 'U',
        _ => upper,
    };
}
