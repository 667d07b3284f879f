namespace AgeWatch.Core.Records;

/// <summary>One time that a service task was done.</summary>
public sealed record DoneRecord
{
    /// <summary>Null: nothing is said of when.</summary>
    public required DateOnly? On { get; init; }

    /// <summary>What the odometer showed, in its own unit.</summary>
    public required decimal? Odometer { get; init; }

    /// <summary>What the hours meter showed.</summary>
    public required decimal? Hours { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="latest">The latest day on which it can have been done.</param>
    public static IEnumerable<Refusal> Check(DoneRecord done, DateOnly latest) =>
    [
        .. PastDay.Check(done.On, latest, nameof(On)),
        .. Shown.CheckDay(done.On, done.Odometer, done.Hours, nameof(On)),
        .. Shown.CheckDistance(done.Odometer, nameof(Odometer)),
        .. Shown.CheckHours(done.Hours, nameof(Hours)),
    ];
}
