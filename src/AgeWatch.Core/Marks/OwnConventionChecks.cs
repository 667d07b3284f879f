using System.Text.RegularExpressions;

namespace AgeWatch.Core.Marks;

/// <summary>The rules that a club's draft must keep.</summary>
internal static partial class OwnConventionChecks
{
    public static IEnumerable<OwnConventionProblem> OfWords(OwnConventionDraft draft)
    {
        if (!KeyForm().IsMatch(draft.Key ?? ""))
        {
            yield return new(OwnConventionFault.BadKey, "A key has 1 to 64 lower-case letters, figures and dashes.");
        }
        else if (draft.Key == MarkQuestion.Undeclared || MarkConventions.Find(draft.Key!) is not null)
        {
            yield return new(OwnConventionFault.KeyTaken, $"{draft.Key} is the key of a built-in convention.");
        }

        if (string.IsNullOrWhiteSpace(draft.Name) || draft.Name.Length > OwnConvention.MostNameCharacters)
        {
            yield return new(
                OwnConventionFault.BadName, $"A name has 1 to {OwnConvention.MostNameCharacters} characters.");
        }

        if (string.IsNullOrWhiteSpace(draft.SourceNote))
        {
            yield return new(OwnConventionFault.SourceNoteMissing, "Say where the knowledge comes from.");
        }

        if (draft.Examples is null or { Count: 0 })
        {
            yield return new(OwnConventionFault.ExamplesMissing, "Give at least one worked example.");
        }
        else if (draft.Examples.Count > OwnConvention.MostExamples)
        {
            yield return new(OwnConventionFault.TooManyExamples, $"At most {OwnConvention.MostExamples} examples.");
        }
    }

    /// <summary>Null when the pattern cannot be used; the reason is then among the problems.</summary>
    public static Regex? Compile(string? pattern, List<OwnConventionProblem> problems)
    {
        if (string.IsNullOrEmpty(pattern))
        {
            problems.Add(new(OwnConventionFault.PatternMissing, "A pattern is required."));
            return null;
        }

        if (pattern.Length > OwnConvention.MostPatternCharacters)
        {
            problems.Add(new(
                OwnConventionFault.PatternTooLong,
                $"A pattern has at most {OwnConvention.MostPatternCharacters} characters."));
            return null;
        }

        try
        {
            // The pattern must stand by itself first, so that a stray bracket cannot reach round the anchors.
            _ = new Regex(pattern, Options, OwnConvention.MatchTime);
            var whole = new Regex($@"\A(?:{pattern})\z", Options, OwnConvention.MatchTime);
            CheckGroups(whole, problems);
            return whole;
        }
        catch (ArgumentException bad)
        {
            problems.Add(new(OwnConventionFault.PatternInvalid, bad.Message));
        }
        catch (NotSupportedException bad)
        {
            problems.Add(new(OwnConventionFault.PatternInvalid, bad.Message));
        }

        return null;
    }

    /// <summary>How an example came out when not as stated; null when it did.</summary>
    public static string? Differs(OwnConvention convention, OwnExample example)
    {
        var answer = MarkReader.Read(
            new(example.Mark ?? "") { Convention = convention.Key, Observed = example.Observed }, [convention]);
        var read = answer.Readings.Select(r => r.Span).Distinct().Order().ToList();
        var stated = (example.Means ?? []).Distinct().Order().ToList();
        return stated.Count > 0 && read.SequenceEqual(stated)
            ? null
            : $"\"{example.Mark}\" should mean {Words(stated)} but reads as {Words(read)}"
                + (read.Count == 0 && answer.Dropped.Count > 0 ? $": {answer.Dropped[0].Reason}" : ".");
    }

    private const RegexOptions Options =
        RegexOptions.NonBacktracking | RegexOptions.CultureInvariant | RegexOptions.IgnoreCase
        | RegexOptions.ExplicitCapture;

    private static string Words(List<DateSpan> spans) => spans.Count == 0 ? "nothing" : string.Join(", ", spans);

    private static void CheckGroups(Regex pattern, List<OwnConventionProblem> problems)
    {
        var names = pattern.GetGroupNames().Where(n => n != "0").ToHashSet(StringComparer.Ordinal);
        foreach (var unknown in names.Except(OwnConvention.Groups).Order(StringComparer.Ordinal))
        {
            problems.Add(new(
                OwnConventionFault.UnknownGroup,
                $"The group {unknown} is not one of {string.Join(", ", OwnConvention.Groups)}."));
        }

        if (!names.Contains("year"))
        {
            problems.Add(new(OwnConventionFault.YearGroupMissing, "A group named year is required."));
        }

        var pieces = new[] { "month", "monthLetter", "week", "quarter", "dayOfYear" }.Count(names.Contains);
        if (pieces > 1 || (names.Contains("day") && !names.Contains("month") && !names.Contains("monthLetter")))
        {
            problems.Add(new(
                OwnConventionFault.GroupsDoNotMakeADate,
                "Beside the year use one of month, monthLetter, week, quarter and dayOfYear; day needs a month."));
        }
    }

    [GeneratedRegex("^[a-z0-9](?:[a-z0-9-]{0,62}[a-z0-9])?$", RegexOptions.CultureInvariant)]
    private static partial Regex KeyForm();
}
