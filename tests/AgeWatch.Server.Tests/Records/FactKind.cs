namespace AgeWatch.Server.Tests.Records;

/// <summary>One kind of fact with all its doors.</summary>
/// <param name="Valid">One that every door takes.</param>
internal sealed record FactKind(Func<Random, Fact> Valid, IReadOnlyList<Flaw> Flaws, IReadOnlyList<Door> Doors);

/// <summary>One thing that can be wrong with a fact.</summary>
/// <param name="Refused">Each member at fault with its code.</param>
internal sealed record Flaw(string Name, Action<Fact> Spoil, params (string Member, string Code)[] Refused)
{
    public static Flaw Set(string member, object value, string code) =>
        new($"{member} {code}", fact => fact[member] = value, (member, code));

    /// <summary>Text that may have so many characters and must stay on one line.</summary>
    public static IEnumerable<Flaw> OfText(string member, int longest) =>
    [
        Set(member, new string('x', longest + 1), "wrong-length"),
        Set(member, "old \u202Erubber", "not-one-line"),
        Set(member, "old\nrubber", "not-one-line"),
    ];

    public static IEnumerable<Flaw> OfHours() =>
        [Set("hours", -1m, "out-of-range"), Set("hours", 1_000_001m, "out-of-range")];

    /// <summary>Eight figures are more than any odometer shows.</summary>
    public static Flaw OfDistance(string member) => Set(member, 100_000_000m, "out-of-range");
}
