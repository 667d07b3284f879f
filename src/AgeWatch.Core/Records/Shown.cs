namespace AgeWatch.Core.Records;

/// <summary>What an instrument can have shown.</summary>
public static class Shown
{
    /// <summary>Kilometres or miles; more than any odometer shows, and it keeps sums far from overflow.</summary>
    public const int MostDistance = 99_999_999;

    /// <summary>Running hours.</summary>
    public const int MostHours = 1_000_000;

    internal static IEnumerable<Refusal> CheckDistance(decimal? shown, string member) =>
        Check(shown, MostDistance, member);

    internal static IEnumerable<Refusal> CheckHours(decimal? shown, string member) => Check(shown, MostHours, member);

    /// <summary>What was shown says nothing without its day.</summary>
    internal static IEnumerable<Refusal> CheckDay(DateOnly? on, decimal? odometer, decimal? hours, string member)
    {
        if (on is null && (odometer ?? hours) is not null)
        {
            var shown = odometer is null ? "Running hours" : "An odometer";
            yield return new("missing", member, $"{shown} without the day says nothing.");
        }
    }

    private static IEnumerable<Refusal> Check(decimal? shown, int most, string member)
    {
        if (shown < 0 || shown > most)
        {
            yield return new("out-of-range", member, $"Must be from 0 to {most}.");
        }
    }
}
