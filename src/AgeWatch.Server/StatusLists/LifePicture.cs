using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Due;
using AgeWatch.Server.Http;
using AgeWatch.Server.Pages;

namespace AgeWatch.Server.StatusLists;

/// <summary>
/// A part's life as a picture: when it can have been made, its fitting, every limit that counts, the due span, today. It is told by
/// shape and hatching, never by colour, so that it can be read from a black and white print.
/// </summary>
internal sealed class LifePicture
{
    private const int Left = 8;
    private const int Right = 312;
    private const int Top = 26;
    private const int Bottom = 44;

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
        DateOnly[] ends = [today, .. _limits.Select(l => l.Limit.Due!.Earliest), .. part.NextDue?.Latest is { } latest ? [latest] : Array.Empty<DateOnly>()];
        var farthest = Later(today, born.Last).PlusMonthsClamped(30 * 12);
        _end = ends.Where(end => end <= farthest).DefaultIfEmpty(today).Max();
    }

    /// <param name="number">Tells the names inside this picture from those of its neighbours on the page.</param>
    /// <returns>Null: nothing tells when it was made, so there is no line to draw.</returns>
    public static Html? Of(SubjectStatusReply part, DateOnly today, int number) =>
        part.Born is { Earliest: { } first, Latest: { } last } ? new LifePicture(part, new DateSpan(first, last), today).Draw(number) : null;

    private Html Draw(int number)
    {
        var today = At(_today);
        Html title = $"Line of life of {_part.PartKindName}{(_part.Position is { } position ? $", {position}" : "")}";
        return $"""
            <svg viewBox="0 0 320 92" role="img" aria-labelledby="life{number}t life{number}d" font-size="10.5" fill="currentColor" stroke="none">
            <title id="life{number}t">{title}</title>
            <desc id="life{number}d">{Words()}</desc>
            <defs>
            <pattern id="made{number}" width="5" height="5" patternUnits="userSpaceOnUse"><path d="M-1 1 1-1M0 5 5 0M4 6 6 4" stroke="currentColor" stroke-width="1"/></pattern>
            <pattern id="look{number}" width="4" height="5" patternUnits="userSpaceOnUse"><path d="M0 2.5H4" stroke="currentColor" stroke-width="1"/></pattern>
            <pattern id="due{number}" width="4" height="4" patternUnits="userSpaceOnUse"><path d="M2 0V4" stroke="currentColor" stroke-width="2"/></pattern>
            </defs>
            {Bar(number)}
            <path d="M{Left} {Top}H{Right}V{Bottom}H{Left}Z" fill="none" stroke="currentColor"/>
            {_limits.Select(Mark)}
            {Fitted()}
            <path class="halo" d="M{today} {Top - 6}V{Bottom + 18}"/>
            <path d="M{today} {Top - 6}V{Bottom + 18}" stroke="currentColor" stroke-width="2" stroke-dasharray="4 2"/>
            <text x="{today}" y="{Bottom + 30}" text-anchor="{Anchor(today)}" font-weight="bold">{_today:yyyy-MM-dd}</text>
            <text x="{Left}" y="{Bottom + 44}">{_start:yyyy}</text>
            <text x="{Right}" y="{Bottom + 44}" text-anchor="end">{_end:yyyy}</text>
            </svg>
            """;
    }

    /// <summary>The stretches of the bar: made, in life (white), may be due, past the limit (solid), or past a look that is due (level lines).</summary>
    private Html Bar(int number)
    {
        if (_part.NextDue is not { } due)
        {
            return Stretch(_born.First, _born.Last.PlusDaysClamped(1), $"url(#made{number})");
        }

        // Where doubt about birth reaches into the due span, the due span is shown: doubt shortens a life.
        var made = Earlier(_born.Last.PlusDaysClamped(1), due.Earliest);
        var latest = due.Latest ?? _end;
        return $"""
            {Stretch(_born.First, made, $"url(#made{number})")}
            {Stretch(due.Earliest, latest, $"url(#due{number})")}
            {Stretch(latest, _end, Past(number))}
            """;
    }

    private string Past(int number) =>
        _part.Limits.Any(l => l is { Governs: true, Limit.Level: LimitLevel.InspectFrom }) ? $"url(#look{number})" : "currentColor";

    private Html Stretch(DateOnly from, DateOnly until, string fill)
    {
        var x = At(from);
        return from < until && from <= _end ? (Html)$"""<rect x="{x}" y="{Top}" width="{Math.Max(3, At(until) - x)}" height="{Bottom - Top}" fill="{fill}"/>""" : $"";
    }

    /// <summary>The level's letter over a stem at the earliest day, and a rule to the latest.</summary>
    private Html Mark(StatusLimitReply line)
    {
        var due = line.Limit.Due!;
        if (due.Earliest > _end)
        {
            return $"";
        }

        var x = At(due.Earliest);
        var to = At(Earlier(due.Latest ?? _end, _end));
        var letter = line.Limit.Level switch
        {
            LimitLevel.InspectFrom => "I",
            LimitLevel.ReplaceBy => "R",
            LimitLevel.StopUse => "S",
        };
        var width = line.Governs ? 3 : 1;
        return $"""
            <path d="M{x} {Bottom}V{Top - 8}H{to}" fill="none" stroke="currentColor" stroke-width="{width}"/>
            <text x="{x}" y="{Top - 11}" text-anchor="{Anchor(x)}" font-weight="{(line.Governs ? "bold" : "normal")}">{letter}</text>
            """;
    }

    private Html Fitted()
    {
        if (_part.FittedOn is not { } day || day < _start || day > _end)
        {
            return $"";
        }

        var x = At(day);
        return $"""
            <path d="M{x} {Bottom + 1}L{x - 5} {Bottom + 10}H{x + 5}Z"/>
            <text x="{x}" y="{Bottom + 19}" text-anchor="{Anchor(x)}">F</text>
            """;
    }

    /// <summary>The picture in words, for those who do not see it.</summary>
    private string Words()
    {
        var limits = _limits.Select(l => $"{DigestWords.Level(l.Limit.Level)} {Span(l.Limit.Due!)}");
        return string.Join("; ",
        [
            $"made {_born}".Replace("..", " to ", StringComparison.Ordinal),
            .. _part.FittedOn is { } fitted ? [$"fitted {fitted:yyyy-MM-dd}"] : Array.Empty<string>(),
            .. limits,
            $"today {_today:yyyy-MM-dd}",
            $"{DigestWords.State(_part.State, _part.Certainty)}".ToLowerInvariant(),
        ]) + ".";
    }

    private static string Span(DueDaysReply due) =>
        due.Latest is not { } latest ? $"{due.Earliest:yyyy-MM-dd} at the earliest" : $"{new DateSpan(due.Earliest, latest)}".Replace("..", " to ", StringComparison.Ordinal);

    private int At(DateOnly day)
    {
        var days = Math.Max(1, _end.DayNumber - _start.DayNumber);
        return Left + (int)Math.Round((double)(Math.Clamp(day.DayNumber, _start.DayNumber, _end.DayNumber) - _start.DayNumber) * (Right - Left) / days);
    }

    private static string Anchor(int x) => x < 40 ? "start" : x > 280 ? "end" : "middle";

    private static DateOnly Earlier(DateOnly a, DateOnly b) => a < b ? a : b;

    private static DateOnly Later(DateOnly a, DateOnly b) => a > b ? a : b;
}
