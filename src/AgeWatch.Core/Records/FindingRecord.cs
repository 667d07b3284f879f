namespace AgeWatch.Core.Records;

/// <summary>What an inspection saw on a day.</summary>
public sealed record FindingRecord
{
    public required DateOnly On { get; init; }

    /// <summary>In the unit it was measured in.</summary>
    public required decimal? Measured { get; init; }

    /// <summary>What the odometer showed, in its own unit.</summary>
    public required decimal? Odometer { get; init; }

    /// <summary>What the hours meter showed.</summary>
    public required decimal? Hours { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="latest">The latest day on which it can have been found.</param>
    public static IEnumerable<Refusal> Check(FindingRecord finding, DateOnly latest) =>
    [
        .. PastDay.Check(finding.On, latest, nameof(On)),
        .. CheckMeasured(finding.Measured),
        .. Shown.CheckDistance(finding.Odometer, nameof(Odometer)),
        .. Shown.CheckHours(finding.Hours, nameof(Hours)),
    ];

    private static IEnumerable<Refusal> CheckMeasured(decimal? measured)
    {
        // It is kept in thousandths.
        if (measured is { } value && decimal.Round(value, 3) != value)
        {
            yield return new(
                "too-precise", nameof(Measured),
                "Must have three decimals at most: rounding could lift it over a threshold.");
        }
    }
}
