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

    /// <summary>Document and place.</summary>
    public required string? Reference { get; init; }

    /// <summary>Who set or read it.</summary>
    public required string? NotedBy { get; init; }

    /// <summary>Why a rule of one's own was set.</summary>
    public required string? Reason { get; init; }

    public required DateOnly? ReviewOn { get; init; }

    /// <summary>How far ahead a rule of one's own may be reviewed.</summary>
    public const int MostMonthsToReview = 36;

    private const int LeastReference = 3;

    /// <summary>What refuses its day of review, empty: nothing does.</summary>
    /// <param name="today">The day on which it is written down.</param>
    public static IEnumerable<Refusal> CheckReview(DateOnly? reviewOn, DateOnly today)
    {
        var latest = today.PlusMonthsClamped(MostMonthsToReview);
        if (reviewOn > latest)
        {
            yield return new("out-of-range", nameof(ReviewOn), $"Must not be later than {latest:yyyy-MM-dd}.");
        }
    }

    /// <summary>What refuses it, empty: it can be written down. Its day of review is checked beside it.</summary>
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

        foreach (var refusal in CheckSource(limit))
        {
            yield return refusal;
        }
    }

    private static IEnumerable<Refusal> CheckSource(LimitRecord limit)
    {
        if (limit.Tag is Tag.Law or Tag.Label or Tag.Maker or Tag.Standard
            && !(limit.Reference?.Trim().Length >= LeastReference))
        {
            yield return new(
                "missing", nameof(Reference),
                "Name the document and the place in it, in three characters or more: without them the number is a rule "
                    + "of one's own (own), common practice (practice) or from memory (memory).");
        }

        var isOwn = limit.Tag == Tag.Own;
        if (isOwn && limit.NotedBy is null)
        {
            yield return new("missing", nameof(NotedBy), "A rule of one's own says who set it.");
        }

        if (isOwn == limit.Reason is null)
        {
            yield return isOwn
                ? new("missing", nameof(Reason), "A rule of one's own says why it was set.")
                : new("not-together", nameof(Reason), "Only a rule of one's own (own) has a reason.");
        }

        if (isOwn == limit.ReviewOn is null)
        {
            yield return isOwn
                ? new("missing", nameof(ReviewOn), "A rule of one's own says on which day it is reviewed.")
                : new("not-together", nameof(ReviewOn), "Only a rule of one's own (own) is reviewed.");
        }
    }
}
