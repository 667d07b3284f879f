using System.Text;
using AgeWatch.Core.Records;

namespace AgeWatch.Server.Mail;

/// <summary>Words of a foreign server, which may hold line breaks, terminal codes or a novel.</summary>
internal static class ServerWords
{
    public const int MaxLength = 500;

    public static string Clean(string words)
    {
        var clean = new StringBuilder(Math.Min(words.Length, MaxLength));
        foreach (var rune in words.EnumerateRunes())
        {
            if (clean.Length + rune.Utf16SequenceLength > MaxLength)
            {
                break;
            }

            if (OneLineText.Fault(rune) is null)
            {
                clean.Append(rune);
            }
            else if (clean.Length > 0 && clean[^1] != ' ')
            {
                clean.Append(' ');
            }
        }

        return clean.ToString().Trim();
    }
}
