using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.Records;

/// <summary>A decision to run past a limit.</summary>
public sealed record DeferralRecord
{
    /// <summary>A key of the catalogue.</summary>
    public required string PartKind { get; init; }

    /// <summary>Null: the day it is written down.</summary>
    public required DateOnly? DecidedOn { get; init; }

    /// <summary>The last day it holds.</summary>
    public required DateOnly UntilOn { get; init; }

    /// <summary>The odometer at which it ends, in its own unit.</summary>
    public required decimal UntilOdometer { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="earliest">The earliest day on which it can still hold.</param>
    /// <param name="latest">The latest day on which it can have been decided.</param>
    public static IEnumerable<Refusal> Check(DeferralRecord deferral, DateOnly earliest, DateOnly latest)
    {
        if (PartCatalogue.BuiltIn.Find(deferral.PartKind)?.Deferral == DeferralRule.Never)
        {
            yield return new(
                "never-deferred", "",
                $"No deferral is offered for {deferral.PartKind}: when it fails it can hurt someone with little or no "
                    + "warning. Put it right or leave the vehicle standing.");
        }

        foreach (var refusal in PastDay.Check(deferral.DecidedOn, latest, nameof(DecidedOn))
            .Concat(Shown.CheckDistance(deferral.UntilOdometer, nameof(UntilOdometer))))
        {
            yield return refusal;
        }

        if (deferral.UntilOn < earliest)
        {
            yield return new(
                "in-the-past", nameof(UntilOn),
                $"Must not be earlier than {earliest:yyyy-MM-dd}: it would have ended.");
        }
    }
}
