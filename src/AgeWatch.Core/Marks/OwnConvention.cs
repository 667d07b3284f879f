using System.Globalization;
using System.Text.RegularExpressions;

namespace AgeWatch.Core.Marks;

/// <summary>
/// A club's own convention: a regular expression whose named groups make a date. It runs without backtracking and
/// within a time limit, and exists only once its worked examples come out as stated.
/// </summary>
public sealed class OwnConvention : MarkConvention
{
    public const int MostPatternCharacters = 500;
    public const int MostExamples = 50;
    public const int MostNameCharacters = 120;

    /// <summary>
    /// Longest time one match may take. A match without backtracking needs far less; the limit is wide because it
    /// counts the clock, and a busy machine must not change an answer.
    /// </summary>
    public static readonly TimeSpan MatchTime = TimeSpan.FromSeconds(2);

    /// <summary>The named groups that a pattern may use.</summary>
    public static IReadOnlyList<string> Groups { get; } = [
        "day", "month", "monthLetter", "week", "year", "quarter", "dayOfYear"];

    private readonly Regex pattern;
    private readonly bool tyreWeeks;

    private OwnConvention(OwnConventionDraft draft, Regex pattern)
        : base(new()
        {
            Key = draft.Key,
            Name = draft.Name,
            LooksLike = draft.Examples[0].Mark,
            FoundOn = "",
            ReadsAs = draft.Pattern,
            MistakenFor = "",
            Years = draft.Years ?? Eras.Stamped,
            Kind = draft.Kind,
            Tag = Tag.Practice,
            Source = draft.SourceNote,
            Examples = [.. draft.Examples.Select(e => new MarkExample(e.Mark, e.Means))],
        })
    {
        this.pattern = pattern;
        tyreWeeks = draft.TyreWeeks;
    }

    internal override bool KindIsFixed => true;

    /// <summary>Taken apart by the groups that match it; whole where only the cleaned text matches.</summary>
    public override IReadOnlyList<MarkPart> Parts
    {
        get
        {
            var mark = About.Examples[0].Text;
            List<MarkPart> parts = [];
            var done = 0;
            foreach (var group in GroupsIn(mark))
            {
                if (group.Index < done)
                {
                    continue; // A group inside another.
                }

                if (group.Index > done)
                {
                    parts.Add(new(mark[done..group.Index]));
                }

                parts.Add(new(mark.Substring(group.Index, group.Length), Words(group.Name)));
                done = group.Index + group.Length;
            }

            if (done < mark.Length)
            {
                parts.Add(new(mark[done..]));
            }

            return parts;
        }
    }

    private IEnumerable<Group> GroupsIn(string mark)
    {
        try
        {
            var match = pattern.Match(mark);
            return Groups.Select(name => match.Groups[name])
                .Where(g => g is { Success: true, Length: > 0 })
                .OrderBy(g => g.Index);
        }
        catch (RegexMatchTimeoutException)
        {
            return [];
        }
    }

    private static string Words(string group) => group switch
    {
        "monthLetter" => "month",
        "dayOfYear" => "day of the year",
        _ => group,
    };

    /// <summary>Checks a draft and builds the convention. Problems are empty exactly when the convention is not
    /// null.</summary>
    public static (
        OwnConvention? Convention, IReadOnlyList<OwnConventionProblem> Problems) Check(OwnConventionDraft draft)
    {
        ArgumentNullException.ThrowIfNull(draft);
        List<OwnConventionProblem> problems = [.. OwnConventionChecks.OfWords(draft)];
        var pattern = OwnConventionChecks.Compile(draft.Pattern, problems);
        if (problems.Count > 0 || pattern is null)
        {
            return (null, problems);
        }

        var convention = new OwnConvention(draft, pattern);
        for (var i = 0; i < draft.Examples.Count; i++)
        {
            if (OwnConventionChecks.Differs(convention, draft.Examples[i]) is { } detail)
            {
                problems.Add(new(OwnConventionFault.ExampleFails, detail, i));
            }
        }

        return problems.Count == 0 ? (convention, problems) : (null, problems);
    }

    /// <summary>Builds a convention that was checked when it was stored, without running its examples again.</summary>
    /// <exception cref="ArgumentException">The draft is not one that <see cref="Check"/> accepts, its examples
    /// aside.</exception>
    public static OwnConvention Restore(OwnConventionDraft draft)
    {
        ArgumentNullException.ThrowIfNull(draft);
        List<OwnConventionProblem> problems = [.. OwnConventionChecks.OfWords(draft)];
        return OwnConventionChecks.Compile(draft.Pattern, problems) is { } pattern && problems.Count == 0
            ? new(draft, pattern)
            : throw new ArgumentException(problems[0].Detail, nameof(draft));
    }

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Match match;
        try
        {
            match = pattern.Match(text.Chars.ToString());
        }
        catch (RegexMatchTimeoutException)
        {
            collector.Refuse(DropCode.OwnConventionTimedOut);
            return;
        }

        if (match.Success && Figures(match, "year") is { Length: 1 or 2 or 4 } year)
        {
            Read(match, Number(year), year.Length, collector);
        }
    }

    private void Read(Match match, int year, int digits, ReadingCollector collector)
    {
        if (Figures(match, "week") is { } week)
        {
            Week(year, digits, Number(week), collector);
        }
        else if (Figures(match, "quarter") is { } quarter)
        {
            collector.Quarter(year, digits, Number(quarter));
        }
        else if (Figures(match, "dayOfYear") is { } dayOfYear)
        {
            collector.DayOfYear(year, digits, Number(dayOfYear));
        }
        else if (match.Groups["monthLetter"] is { Success: true } letter)
        {
            ReadLetter(match, letter.Value, year, digits, collector);
        }
        else if (match.Groups["month"] is { Success: true } month)
        {
            Month(match, Figures(match, "month") is { } figures
                ? Number(figures)
                : Named(month.Value), year, digits, MarkAssumption.None, collector);
        }
        else
        {
            collector.Year(year, digits);
        }
    }

    private static int Named(string month) => MarkWords.RoleOf(month, out var named) == WordRole.Month ? named : 0;

    private void Week(int year, int digits, int week, ReadingCollector collector)
    {
        foreach (var y in collector.Years(year, digits))
        {
            if ((tyreWeeks ? TinWeek.Span(y, week) : IsoWeek.Span(y, week)) is { } days)
            {
                collector.Add(days, tyreWeeks
                    ? MarkPrecision.TinWeek
                    : MarkPrecision.IsoWeek, digits, MarkAssumption.OwnWeek);
            }
            else
            {
                collector.Refuse(DropCode.WeekOutOfRange);
            }
        }
    }

    private static void ReadLetter(Match match, string letter, int year, int digits, ReadingCollector collector)
    {
        var scheme = collector.Question.LetterScheme;
        var both = scheme == LetterScheme.Unknown && letter is [>= 'I' and <= 'M'];
        if (letter.Length != 1 || letter[0] > 'M')
        {
            collector.Refuse(DropCode.LetterNotUsed);
            return;
        }

        foreach (var by in both ? [LetterScheme.SkipI, LetterScheme.AToL] : new[] { scheme })
        {
            if (LetterMonth.Month(letter[0], by) is var month and > 0)
            {
                Month(match, month, year, digits, LetterMonth.Assumption(letter[0], by), collector);
            }
            else if (!both)
            {
                collector.Refuse(DropCode.LetterNotUsed);
            }
        }
    }

    private static void Month(
        Match match, int month, int year, int digits, MarkAssumption assumed, ReadingCollector collector)
    {
        if (Figures(match, "day") is { } day)
        {
            collector.Day(year, digits, month, Number(day), assumed);
        }
        else
        {
            collector.Month(year, digits, month, assumed);
        }
    }

    /// <summary>The group's text when it holds figures only, at most four; else null.</summary>
    private static string? Figures(Match match, string group) =>
        match.Groups[group] is { Success: true, Value: { Length: >= 1 and <= 4 } value } && value.All(char.IsAsciiDigit)
            ? value
            : null;

    private static int Number(string figures) => int.Parse(figures, CultureInfo.InvariantCulture);

    /// <summary>Always null: an expression cannot be written backwards.</summary>
    public override string? Render(MarkReading reading) => null;
}
