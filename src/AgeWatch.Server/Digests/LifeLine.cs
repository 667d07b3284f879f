using AgeWatch.Core;

namespace AgeWatch.Server.Digests;

internal enum LifeStretch
{
    /// <summary>Made at some time in here.</summary>
    Made,

    InLife,

    /// <summary>Due at some time in here.</summary>
    MayBeDue,

    PastLimit,
}

/// <summary>A part's life as a bar, from the earliest birth to the later of today and the latest due day.</summary>
/// <param name="Due">Of the limit that governs.</param>
internal sealed record LifeLine(DateSpan Born, DateSpan Due, DateOnly Today)
{
    /// <summary>Where the bar begins.</summary>
    public DateOnly Start => Born.First < Today ? Born.First : Today;

    /// <summary>Where the bar ends.</summary>
    public DateOnly End => Today > Due.Last ? Today : Due.Last;

    private int Days => Math.Max(1, End.DayNumber - Start.DayNumber);

    /// <summary>The stretches that are not empty, in order, with whole-number shares of <paramref name="width"/> that
    /// add up to it.</summary>
    public IReadOnlyList<(LifeStretch Stretch, int Share)> Stretches(int width)
    {
        // Where doubt about birth reaches into the due span, the due span is shown: doubt shortens a life.
        var due = Clamp(Due.First, Start, End);
        var madeEnd = Clamp(Born.Last.PlusDaysClamped(1), Start, due);
        (LifeStretch Stretch, DateOnly Until)[] bounds =
        [
            (LifeStretch.Made, madeEnd), (LifeStretch.InLife, due),
            (LifeStretch.MayBeDue, Clamp(Due.Last, due, End)), (LifeStretch.PastLimit, End),
        ];

        List<(LifeStretch Stretch, int Share)> stretches = [];
        var from = Start;
        foreach (var (stretch, until) in bounds)
        {
            if (until > from)
            {
                stretches.Add((stretch, Math.Max(1, Column(until, width) - Column(from, width))));
                from = until;
            }
        }

        if (stretches.Count == 0)
        {
            return [(LifeStretch.MayBeDue, width)];
        }

        // Thin stretches were widened to one so that they can be seen; the widest pays for it.
        var widest = stretches.IndexOf(stretches.MaxBy(s => s.Share));
        stretches[widest] = (stretches[widest].Stretch, stretches[widest].Share + width - stretches.Sum(s => s.Share));
        return stretches;
    }

    /// <summary>How far along today is, 0 to <paramref name="width"/>.</summary>
    public int TodayAt(int width) => Column(Clamp(Today, Start, End), width);

    /// <summary>The bar in words.</summary>
    public string Caption => $"made {DigestWords.Span(Born)}, due {DigestWords.Span(Due)}, today {Today:yyyy-MM-dd}";

    private int Column(DateOnly day, int width) =>
        (int)Math.Round((double)(day.DayNumber - Start.DayNumber) * width / Days);

    private static DateOnly Clamp(DateOnly day, DateOnly least, DateOnly most) =>
        day < least ? least : day > most ? most : day;
}
