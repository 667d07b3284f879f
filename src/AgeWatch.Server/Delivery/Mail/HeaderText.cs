using System.Globalization;
using System.Text;

namespace AgeWatch.Server.Delivery.Mail;

/// <summary>What may stand in a mail header. Asked where text comes in, because a mail library repairs
/// silently.</summary>
internal static class HeaderText
{
    public const int MaxLength = 200;

    /// <returns>Why the text is refused, as a clause that follows the field's name; null when it is fine.</returns>
    public static string? Objection(string text, int maxLength = MaxLength)
    {
        if (string.IsNullOrWhiteSpace(text))
        {
            return "is empty";
        }

        if (text.Length > maxLength)
        {
            return string.Create(CultureInfo.InvariantCulture, $"is longer than {maxLength} characters");
        }

        foreach (var rune in text.EnumerateRunes())
        {
            if (Fault(rune) is { } fault)
            {
                return $"{fault} (U+{rune.Value:X4})";
            }
        }

        return null;
    }

    /// <returns>What is wrong with this one character; null when it may stand in a header.</returns>
    public static string? Fault(Rune rune) => rune.Value switch
    {
        // An unpaired surrogate is enumerated as U+FFFD, which nobody types into a name either.
        0xFFFD => "contains text that is not valid Unicode",
        0x2028 or 0x2029 => "contains a line break",

        // Embeddings, overrides and isolates. The plain marks U+200E, U+200F and U+061C only help right-to-left names.
        (>= 0x202A and <= 0x202E) or (>= 0x2066 and <= 0x2069) =>
            "contains a character that reverses the text around it",
        _ when Rune.IsControl(rune) => "contains a line break or control character",
        _ => null,
    };
}
