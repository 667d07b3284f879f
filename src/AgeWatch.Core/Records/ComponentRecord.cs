using AgeWatch.Core.Due;

namespace AgeWatch.Core.Records;

/// <summary>A part as it is written down, as far as its members must fit each other.</summary>
public sealed record ComponentRecord
{
    public required bool IsOnVehicle { get; init; }

    /// <summary>It has been on one before.</summary>
    public required bool WasOnVehicle { get; init; }

    /// <summary>It left the factory on its vehicle.</summary>
    public required bool Original { get; init; }

    /// <summary>What comes with it, in the order in which it was given.</summary>
    public required IReadOnlyList<EvidenceKind> Evidence { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    public static IEnumerable<Refusal> Check(ComponentRecord component)
    {
        var isFitted = false;
        foreach (var (index, _) in component.Evidence.Index().Where(e => e.Item == EvidenceKind.Fitted))
        {
            if (!component.IsOnVehicle)
            {
                yield return new(
                    "not-on-a-vehicle", nameof(Evidence), "A part on the shelf is fitted nowhere.", index);
            }
            else if (isFitted)
            {
                yield return new(
                    "doubled", nameof(Evidence),
                    "A part can have been fitted here only once; earlier fittings have an address of their own.",
                    index);
            }

            isFitted = true;
        }

        if (component is { Original: true, IsOnVehicle: false, WasOnVehicle: false })
        {
            yield return new(
                "not-on-a-vehicle", nameof(Original),
                "A part on the shelf belongs to no vehicle that it could be original to.");
        }
    }
}
