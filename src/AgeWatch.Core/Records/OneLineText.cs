using System.Text;

namespace AgeWatch.Core.Records;

/// <summary>Text that must stay on one line: a name or a subject, which may end up in the header of a mail.</summary>
public static class OneLineText
{
    /// <summary>The code of the refusal.</summary>
    public const string Code = "not-one-line";

    public static bool Accepts(string text) =>
        !string.IsNullOrWhiteSpace(text) && text.EnumerateRunes().All(rune => Fault(rune) is null);

    /// <returns>What is wrong with this one character; null when it may stand in the text.</returns>
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
