using System.Globalization;
using AgeWatch.Core.Records;

namespace AgeWatch.Server.Mail;

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
            if (OneLineText.Fault(rune) is { } fault)
            {
                return $"{fault} (U+{rune.Value:X4})";
            }
        }

        return null;
    }
}
