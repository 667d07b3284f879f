namespace AgeWatch.Core.Records;

/// <summary>The day of something that has happened.</summary>
public static class PastDay
{
    // No road vehicle with an engine is older by far; an earlier day is a slip, or a program's word for "nothing".
    private static readonly DateOnly Earliest = new(1800, 1, 1);

    /// <param name="latest">Today, local to the club; in a calculation the day asked about, when that is later.</param>
    public static IEnumerable<Refusal> Check(DateOnly? day, DateOnly latest, string member)
    {
        if (day < Earliest)
        {
            yield return new("too-early", member, $"Must not be earlier than {Earliest:yyyy-MM-dd}.");
        }

        if (day > latest)
        {
            yield return new("in-the-future", member, $"Must not be later than {latest:yyyy-MM-dd}.");
        }
    }
}
