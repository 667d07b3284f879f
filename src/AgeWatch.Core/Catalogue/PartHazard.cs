namespace AgeWatch.Core.Catalogue;

/// <summary>What happens when a part of this kind fails.</summary>
public sealed record PartHazard
{
    public required HazardClass Class { get; init; }

    /// <summary>One line: how it harms.</summary>
    public required string Why { get; init; }

    /// <summary>The driver notices the failure when it happens; false: it shows only when the part is needed.</summary>
    public required bool Evident { get; init; }

    public required WarningTime Warning { get; init; }
}

/// <summary>The time between the first sign and the failure. Least warning first.</summary>
public enum WarningTime
{
    None,
    Brief,
    Ample,
}
