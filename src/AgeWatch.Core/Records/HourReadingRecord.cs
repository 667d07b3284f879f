namespace AgeWatch.Core.Records;

/// <summary>What a running-hours meter showed on a day.</summary>
public sealed record HourReadingRecord
{
    public required DateOnly On { get; init; }

    public required decimal Hours { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="latest">The latest day on which it can have been read.</param>
    public static IEnumerable<Refusal> Check(HourReadingRecord reading, DateOnly latest) =>
        [.. PastDay.Check(reading.On, latest, nameof(On)), .. Shown.CheckHours(reading.Hours, nameof(Hours))];
}
