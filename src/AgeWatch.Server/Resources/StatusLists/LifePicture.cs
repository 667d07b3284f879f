using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Pages;

namespace AgeWatch.Server.Resources.StatusLists;

/// <summary>
/// A part's life as a picture: when it can have been made, its fitting, every limit that counts, the due span, today.
/// It is told by shape and hatching, never by colour, so that it can be read from a black and white print.
/// </summary>
internal sealed class LifePicture
{
    private const int Left = 8;
    private const int Right = 312;
    private const int Top = 26;
    private const int Bottom = 44;
    private const int LetterWidth = 10;

    private readonly SubjectStatusReply _part;
    private readonly DateOnly _today;
    private readonly DateSpan _born;
    private readonly IReadOnlyList<StatusLimitReply> _limits;
    private readonly DateOnly _start;
    private readonly DateOnly _end;

    private LifePicture(SubjectStatusReply part, DateSpan born, DateOnly today)
    {
        (_part, _born, _today) = (part, born, today);
        _limits = [.. part.Limits.Where(l => l.Limit is { Standing: LimitStanding.Counts, Due: not null })];
        _start = Earlier(born.First, today);

        // A limit that can only be told to lie far off must not squeeze the rest into a corner.
        DateOnly[] ends = [today, .. _limits.Select(l => l.Limit.Due!.Earliest), .. part.NextDue?.Latest is { } latest
            ? [latest]
            : Array.Empty<DateOnly>()];
        var farthest = Later(today, born.Last).PlusMonthsClamped(30 * 12);
        _end = ends.Where(end => end <= farthest).DefaultIfEmpty(today).Max();
    }

    /// <param name="number">Tells the names inside this picture from those of its neighbours on the page.</param>
    /// <returns>Null: nothing tells when it was made, so there is no line to draw.</returns>
    public static Html? Of(SubjectStatusReply part, DateOnly today, int number) =>
        part.Born is { Earliest: { } first, Latest: { } last }
            ? new LifePicture(part, new DateSpan(first, last), today).Draw(number)
            : null;

    /// <summary>The legend's samples, drawn as the pictures are: what is black on paper is light on a dark
    /// screen.</summary>
    public static Html Legend => $"""
        <ul class="legend quiet">
        {Sample("url(#made0)", "made at some time in here", Patterns(0))}
        {Sample("none", "in life")}
        {Sample("url(#due0)", "due at some time in here")}
        {Sample("currentColor", "past its limit")}
        {Sample("url(#look0)", "past an inspection")}
        <li>I inspect, R replace, S stop use; the bold one governs</li>
        <li>F fitted</li>
        <li>dashed line: the day of this list</li>
        </ul>
        """;

    private static Html Sample(string fill, string meaning, Html? patterns = null) => $"""
        <li><svg class="sample" viewBox="0 0 34 18" aria-hidden="true">{patterns}<path d="M.5 .5H33.5V17.5H.5Z" fill="{fill}" stroke="currentColor"/></svg> {meaning}</li>
        """;

    private static Html Patterns(int number) => $"""
        <defs>
        <pattern id="made{number}" width="5" height="5" patternUnits="userSpaceOnUse"><path d="M-1 1 1-1M0 5 5 0M4 6 6 4" stroke="currentColor" stroke-width="1"/></pattern>
        <pattern id="look{number}" width="4" height="5" patternUnits="userSpaceOnUse"><path d="M0 2.5H4" stroke="currentColor" stroke-width="1"/></pattern>
        <pattern id="due{number}" width="4" height="4" patternUnits="userSpaceOnUse"><path d="M2 0V4" stroke="currentColor" stroke-width="2"/></pattern>
        </defs>
        """;

    private Html Draw(int number)
    {
        var today = At(_today);
        Html title = $"Line of life of {_part.PartKindName}{(_part.Position is { } position ? $", {position}" : "")}";
        return $"""
            <svg viewBox="0 0 320 96" role="img" aria-labelledby="life{number}t life{number}d" font-size="10.5" fill="currentColor" stroke="none">
            <title id="life{number}t">{title}</title>
            <desc id="life{number}d">{InWords()}</desc>
            {Patterns(number)}
            {Bar(number)}
            <path d="M{Left} {Top}H{Right}V{Bottom}H{Left}Z" fill="none" stroke="currentColor"/>
            {_limits.Select(Mark)}
            {Letters()}
            {Fitted()}
            <path class="halo" d="M{today} {Top - 6}V{Bottom + 18}"/>
            <path d="M{today} {Top - 6}V{Bottom + 18}" stroke="currentColor" stroke-width="2" stroke-dasharray="4 2"/>
            <text x="{today}" y="{Bottom + 34}" text-anchor="{Anchor(today)}" font-weight="bold">{_today:yyyy-MM-dd}</text>
            <text x="{Left}" y="{Bottom + 48}">{_start:yyyy}</text>
            <text x="{Right}" y="{Bottom + 48}" text-anchor="end">{_end:yyyy}</text>
            </svg>
            """;
    }

    /// <summary>
    /// The stretches of the bar: made, in life (empty), may be due, past a look that is due (level lines), past a limit
    /// (solid). The first limit to replace or stop counts, whichever governs: past it nothing is in life.
    /// </summary>
    private Html Bar(int number)
    {
        var (look, looked) = First(level => level == LimitLevel.InspectFrom);
        var (end, ended) = First(level => level != LimitLevel.InspectFrom);
        (look, looked) = (Earlier(look, end), Earlier(looked, end));

        // Where doubt about birth reaches into a due span, the due span is shown: doubt shortens a life.
        return $"""
            {Stretch(_born.First, Earlier(_born.Last.PlusDaysClamped(1), look), $"url(#made{number})")}
            {Stretch(look, looked, $"url(#due{number})")}
            {Stretch(looked, end, $"url(#look{number})")}
            {Stretch(end, ended, $"url(#due{number})")}
            {Stretch(ended, _end, "currentColor")}
            """;
    }

    /// <summary>The earliest and the latest day on which the first of such limits is reached; the end of time where
    /// there is none.</summary>
    private (DateOnly Earliest, DateOnly Latest) First(Func<LimitLevel, bool> isSuch)
    {
        List<DueDaysReply> due = [.. _limits.Where(l => isSuch(l.Limit.Level)).Select(l => l.Limit.Due!)];
        return (due.Select(d => d.Earliest)
            .DefaultIfEmpty(DateOnly.MaxValue)
            .Min(), due.Select(d => d.Latest ?? DateOnly.MaxValue)
            .DefaultIfEmpty(DateOnly.MaxValue)
            .Min());
    }

    private Html Stretch(DateOnly from, DateOnly until, string fill)
    {
        var x = Math.Min(At(from), Right - 3);
        return from < until && from < _end ? (Html)$"""<rect x="{x}" y="{Top}" width="{Math.Max(3, At(until) - x)}" height="{Bottom - Top}" fill="{fill}"/>""" : $"";
    }

    /// <summary>A stem at the earliest day, and a rule to the latest.</summary>
    private Html Mark(StatusLimitReply line)
    {
        var due = line.Limit.Due!;
        if (due.Earliest > _end)
        {
            return $"";
        }

        var x = At(due.Earliest);
        var to = At(Earlier(due.Latest ?? _end, _end));
        return $"""<path d="M{x} {Bottom}V{Top - 8}H{to}" fill="none" stroke="currentColor" stroke-width="{(line.Governs ? 3 : 1)}"/>""";
    }

    /// <summary>The letters of the levels above their stems, side by side where the stems stand too close for
    /// that.</summary>
    private List<Html> Letters()
    {
        List<StatusLimitReply> lines = [.. _limits.Where(l => l.Limit.Due!.Earliest <= _end)
            .OrderBy(l => l.Limit.Due!.Earliest)];
        List<int> places = lines.ConvertAll(l => At(l.Limit.Due!.Earliest));
        for (var i = 1; i < places.Count; i++)
        {
            places[i] = Math.Max(places[i], places[i - 1] + LetterWidth);
        }

        for (var (i, end) = (places.Count - 1, Right); i >= 0; i--)
        {
            places[i] = Math.Min(places[i], end);
            end = places[i] - LetterWidth;
        }

        return [.. lines.Zip(places, (line, x) => (Html)$"""
            <text x="{x}" y="{Top - 11}" text-anchor="middle" font-weight="{(line.Governs ? "bold" : "normal")}">{Letter(line.Limit.Level)}</text>
            """)];
    }

    private static string Letter(LimitLevel level) => level switch
    {
        LimitLevel.InspectFrom => "I",
        LimitLevel.ReplaceBy => "R",
        LimitLevel.StopUse => "S",
    };

    private Html Fitted()
    {
        if (_part.FittedOn is not { } day || day < _start || day > _end)
        {
            return $"";
        }

        var x = At(day);
        return $"""
            <path d="M{x} {Bottom + 1}L{x - 5} {Bottom + 10}H{x + 5}Z"/>
            <text x="{x}" y="{Bottom + 21}" text-anchor="{Anchor(x)}">F</text>
            """;
    }

    /// <summary>The picture in words, for those who do not see it.</summary>
    private string InWords()
    {
        var limits = _limits.Select(l => $"{Words.Of(l.Limit.Level)} {Span(l.Limit.Due!)}");
        return string.Join("; ",
        [
            $"made {_born}".Replace("..", " to ", StringComparison.Ordinal),
            .. _part.FittedOn is { } fitted ? [$"fitted {fitted:yyyy-MM-dd}"] : Array.Empty<string>(),
            .. limits,
            $"today {_today:yyyy-MM-dd}",
            $"{Words.Of(_part.State, _part.Certainty, _part.Force)}".ToLowerInvariant(),
        ]) + ".";
    }

    private static string Span(DueDaysReply due) =>
        due.Latest is not { } latest
            ? $"{due.Earliest:yyyy-MM-dd} at the earliest"
            : $"{new DateSpan(due.Earliest, latest)}".Replace("..", " to ", StringComparison.Ordinal);

    private int At(DateOnly day)
    {
        var days = Math.Max(1, _end.DayNumber - _start.DayNumber);
        return Left + (int)Math.Round((double)(Math.Clamp(
            day.DayNumber, _start.DayNumber, _end.DayNumber) - _start.DayNumber) * (Right - Left) / days);
    }

    private static string Anchor(int x) => x < 40 ? "start" : x > 280 ? "end" : "middle";

    private static DateOnly Earlier(DateOnly a, DateOnly b) => a < b ? a : b;

    private static DateOnly Later(DateOnly a, DateOnly b) => a > b ? a : b;
}
