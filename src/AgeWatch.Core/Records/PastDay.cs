namespace AgeWatch.Core.Records;

/// <summary>The day of something that has happened.</summary>
public static class PastDay
{
    /// <param name="latest">Today, local to the club; in a calculation the day asked about, when that is later.</param>
    public static IEnumerable<Refusal> Check(DateOnly? day, DateOnly latest, string member)
    {
        if (day > latest)
        {
            yield return new("in-the-future", member, $"Must not be later than {latest:yyyy-MM-dd}.");
        }
    }
}
