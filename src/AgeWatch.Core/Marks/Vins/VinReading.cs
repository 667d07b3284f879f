namespace AgeWatch.Core.Marks.Vins;

/// <summary>What a vehicle's number is, as far as its signs tell.</summary>
public enum VinVerdict
{
    /// <summary>17 permitted signs and the check digit agrees. That is no proof: all zeros agree too.</summary>
    Valid,

    /// <summary>17 signs, one of them not permitted, or a check digit that must agree and does not.</summary>
    Invalid,

    /// <summary>17 permitted signs whose check digit does not agree, from where none is required.</summary>
    CheckDigitNotRequired,

    /// <summary>Not 17 signs: a maker's own chassis number, usual before the 1981 model year. It is accepted as it
    /// is.</summary>
    FreeForm,

    /// <summary>Nothing to read, or text that no vehicle carries.</summary>
    Unreadable,
}

/// <summary>A sign that stands where it cannot.</summary>
/// <param name="Position">1 to 17.</param>
/// <param name="Sign">As typed, upper case.</param>
/// <param name="Detail">What is wrong and what was probably meant.</param>
/// <param name="Perhaps">The sign it is mistaken for; null when none suggests itself.</param>
public sealed record VinFault(int Position, char Sign, string Detail, char? Perhaps);

public sealed record VinReading
{
    /// <summary>Upper case without blanks and dashes when it has 17 signs, else as typed but for the ends.</summary>
    public required string Text { get; init; }

    public required VinVerdict Verdict { get; init; }

    /// <summary>0 to 9 or X; null when the number has not 17 permitted signs.</summary>
    public char? ComputedCheckDigit { get; init; }

    public bool CheckDigitMatches { get; init; }

    public IReadOnlyList<VinFault> Faults { get; init; } = [];

    /// <summary>Model years that position 10 allows; empty when it is no year code. A model year is not the day of
    /// building.</summary>
    public IReadOnlyList<int> ModelYears { get; init; } = [];

    /// <summary>What a reader must know besides, in sentences.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];
}
