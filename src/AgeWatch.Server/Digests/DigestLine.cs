using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Digests;

/// <summary>One line: one action.</summary>
internal sealed record DigestLine
{
    public required Guid SubjectId { get; init; }

    public required string Vehicle { get; init; }

    /// <summary>A sentence, verb first, naming part and vehicle.</summary>
    public required string Action { get; init; }

    /// <summary>What was reached when, the number with its unit.</summary>
    public required string Why { get; init; }

    /// <summary>Where the number comes from; null: no number is behind it (a finding, an unknown).</summary>
    public required Tag? Tag { get; init; }

    /// <summary>What the age rests on.</summary>
    public required string? Evidence { get; init; }

    public required HazardClass Hazard { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>What stands behind the state; null: no limit does.</summary>
    public required Force? Force { get; init; }

    public required DateSpan? Due { get; init; }

    public required LifeLine? Life { get; init; }

    /// <summary>Whose vehicle; only in an officer's digest.</summary>
    public required string? Owner { get; init; }

    /// <summary>The one question that would settle or sharpen it.</summary>
    public required string? Question { get; init; }

    /// <summary>Last day of the deferral.</summary>
    public required DateOnly? DeferredUntil { get; init; }

    public required Uri? VehicleLink { get; init; }

    /// <summary>The publication behind the number, by its id in the catalogue, or what the owner noted;
    /// null: none is named.</summary>
    public required string? Reference { get; init; }
}

/// <param name="Heading">For what work.</param>
internal sealed record DigestCaution(string Heading, string Text)
{
    /// <summary>The sentence that every caution ends with stands once at the foot, where it holds for all of
    /// them.</summary>
    public static DigestCaution From(Caution caution) =>
        new(caution.Title, caution.Text.Replace(DigestContent.DeferTo, "", StringComparison.Ordinal).TrimEnd());
}
