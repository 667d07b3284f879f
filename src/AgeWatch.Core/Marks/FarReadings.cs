namespace AgeWatch.Core.Marks;

/// <summary>Parts the readings that nobody would believe beside the others from those that govern.</summary>
internal static class FarReadings
{
    private static readonly AgeBound OutOfUse = new(
        AgeBoundRule.RareForm, Conventions.TinWeekYear.FourFiguresKnown,
        "day, week and year digit was a rare form on tyres and ended by July 2000; today four figures are week and "
            + "year",
        Tag.Standard, "NHTSA interpretation nht73-3.16");

    /// <summary>The remote ones in the order of the calendar; near and remote together are all that came in.</summary>
    public static (MarkReading[] Near, RemoteReading[] Remote) Part(
        MarkQuestion question, MarkReading[] readings, MarkReading[] rare)
    {
        List<RemoteReading>? remote = null;
        foreach (var reading in rare)
        {
            (remote ??= []).Add(new(reading, OutOfUse));
        }

        if (question.NotBefore is null && question.IsUndeclared)
        {
            foreach (var bound in question.Bounds)
            {
                readings = Near(readings, bound, ref remote);
            }
        }

        if (remote is null)
        {
            return (readings, []);
        }

        remote.Sort(static (a, b) => a.Reading.Span.CompareTo(b.Reading.Span));
        return (readings, [.. remote]);
    }

    private static MarkReading[] Near(MarkReading[] readings, AgeBound bound, ref List<RemoteReading>? remote)
    {
        if (!Array.Exists(readings, reading => IsMade(reading) && !IsFar(reading, bound)))
        {
            return readings;
        }

        foreach (var reading in readings)
        {
            if (IsMade(reading) && IsFar(reading, bound))
            {
                (remote ??= []).Add(new(reading, bound));
            }
        }

        return Array.FindAll(readings, reading => !IsMade(reading) || !IsFar(reading, bound));
    }

    // Expiries are never set aside: the first of them governs, and one far ahead must not hide one long past.
    private static bool IsMade(in MarkReading reading) => reading.Kind == MarkKind.Manufacture;

    private static bool IsFar(in MarkReading reading, in AgeBound bound) => reading.Span.Last < bound.NotBefore;
}
