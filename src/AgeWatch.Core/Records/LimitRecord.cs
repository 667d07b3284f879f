namespace AgeWatch.Core.Records;

/// <summary>A limit of one's own, as far as its members must fit each other. Several numbers: whichever comes
/// first.</summary>
public sealed record LimitRecord
{
    public required Tag Tag { get; init; }

    /// <summary>What months, distance and hours count from; null only with a last day.</summary>
    public required AgeAnchor? From { get; init; }

    public required int? Months { get; init; }

    /// <summary>In the unit it was given in.</summary>
    public required decimal? Distance { get; init; }

    public required decimal? Hours { get; init; }

    /// <summary>The last permitted day, as printed on the part; alone.</summary>
    public required DateOnly? LastDay { get; init; }

    public required EndRule EndRule { get; init; }

    public required DateOnly? ValidFrom { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    public static IEnumerable<Refusal> Check(LimitRecord limit)
    {
        var isCounted = limit.Months is not null || limit.Distance is not null || limit.Hours is not null;
        if (!isCounted && limit.LastDay is null)
        {
            yield return new(
                "missing", nameof(Months), "A limit needs a number: months, distance, hours or lastDay.");
        }

        if (isCounted && limit.LastDay is not null)
        {
            yield return new(
                "not-together", nameof(LastDay),
                "A printed last day is a limit by itself; note the other number as another limit.");
        }

        if (limit.EndRule != EndRule.Day && limit.Months is null)
        {
            yield return new("not-together", nameof(EndRule), "Only months end with a month or a year.");
        }

        if (limit.ValidFrom is not null && (limit.Months is null || limit.Tag != Tag.Law))
        {
            yield return new(
                "not-together", nameof(ValidFrom), "Only a law that counts months begins to hold on a day.");
        }

        if (limit.Distance == 0)
        {
            yield return new("out-of-range", nameof(Distance), "Must be more than zero.");
        }

        // They are kept in thousandths: rounding up would lengthen a life, and rounding down could leave nothing.
        if (limit.Hours is { } hours && decimal.Round(hours, 3) != hours)
        {
            yield return new("too-precise", nameof(Hours), "Must have three decimals at most.");
        }

        if (limit.Distance is { } distance && decimal.Round(distance, 3) != distance)
        {
            yield return new("too-precise", nameof(Distance), "Must have three decimals at most.");
        }

        if (isCounted && limit.From is null)
        {
            yield return new("missing", nameof(From), "Say what the number counts from.");
        }

        // The other anchors name what an answer found out; nobody can count from them beforehand.
        if (limit.From is AgeAnchor.Inspection or AgeAnchor.Finding
            || (limit.From == AgeAnchor.Printed && limit.LastDay is null))
        {
            yield return new(
                "not-allowed", nameof(From), "Must be one of: manufacture, fitting, fill, service, regulatory.");
        }

        if (limit.LastDay is not null && limit.From is not (null or AgeAnchor.Printed))
        {
            yield return new("not-together", nameof(From), "A printed last day counts from nothing.");
        }
    }
}
