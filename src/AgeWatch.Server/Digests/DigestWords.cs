using System.Text;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;

namespace AgeWatch.Server.Digests;

/// <summary>Words that both renderings of a digest share.</summary>
internal static class DigestWords
{
    /// <summary>One day, or the first and the last.</summary>
    public static string Span(DateSpan days) => days.Last == DateOnly.MaxValue
        ? $"{days.First:yyyy-MM-dd} at the earliest"
        : days.ToString().Replace("..", " to ", StringComparison.Ordinal);

    /// <summary>The fact lines under an action, in reading order, as (label, text).</summary>
    public static IEnumerable<(string Label, string Text)> Facts(DigestLine line)
    {
        if (line.Owner is { } owner)
        {
            yield return ("Owner", owner);
        }

        yield return ("Why", line.Why);
        if (line.Due is { } due)
        {
            yield return ("Due", Span(due));
        }

        if (line.Tag is { } tag)
        {
            yield return ("Number from", line.Reference is { } reference
                ? $"{Words.Of(tag)} ({reference})"
                : Words.Of(tag));
        }

        if (line.Evidence is { } evidence)
        {
            yield return ("Rests on", evidence);
        }

        if (line.DeferredUntil is { } until)
        {
            yield return (
                "Deferral ends", until.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture));
        }

        if (line.Question is { } question)
        {
            yield return ("Question", question);
        }
    }

    /// <summary>Member text as one plain line: no line breaks, terminal codes or turned text.</summary>
    public static string OneLine(string text)
    {
        var line = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            if (OneLineText.Fault(rune) is null)
            {
                line.Append(rune);
            }
            else
            {
                line.Append(' ');
            }
        }

        return line.ToString().Trim();
    }
}
