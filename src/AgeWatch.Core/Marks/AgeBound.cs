using System.Globalization;

namespace AgeWatch.Core.Marks;

/// <summary>What tells that a part is hardly older than a day.</summary>
public enum AgeBoundRule
{
    /// <summary>Such parts were not made before.</summary>
    FirstOfKind,

    /// <summary>Parts for a car are not made long before it.</summary>
    BuiltCar,

    /// <summary>A part is not bought new after longer on the shelf than its kind can lie there.</summary>
    Shelf,

    /// <summary>A part is not fitted many years after it was made.</summary>
    Fitting,

    /// <summary>The form was rare and went out of use; the usual form of today reads the same figures.</summary>
    RareForm,
}

/// <summary>
/// A bound below which nobody believes a reading while a nearer one stands. It rules nothing out: what lies before it
/// is kept as remote, and does not govern.
/// </summary>
/// <param name="NotBefore">A reading that ends before this day is remote.</param>
/// <param name="Subject">The fact it rests on, after "for": a clause.</param>
/// <param name="Tag">Where the bound comes from.</param>
/// <param name="Reference">Null: there is no source that was read.</param>
public readonly record struct AgeBound(
    AgeBoundRule Rule, DateOnly NotBefore, string Subject, Tag Tag, string? Reference)
{
    /// <summary>Months that a part is believed to be older than the car it was made for, or than its fitting.</summary>
    /// <remarks>
    /// Parts are dated days to weeks before assembly (reference marks, section 6), and few lie on a shelf for ten years
    /// before they are fitted; ten years are our choice and common practice, no source.
    /// </remarks>
    public const int TenYears = 120;

    /// <summary>It in a sentence, with where it comes from.</summary>
    public string Sentence =>
        $"{char.ToUpperInvariant(Subject[0])}{Subject[1..]} ({Source}).";

    private string? Source => Tag is Tag.Practice or Tag.Memory ? TagWords.Of(Tag) : Reference;

    public static AgeBound OfCar(DateSpan built) => new(
        AgeBoundRule.BuiltCar, built.First.PlusMonthsClamped(-TenYears),
        string.Create(
            CultureInfo.InvariantCulture,
            $"the vehicle was built no earlier than {built.First:O}, and parts for it are not made more than ten years "
                + $"before"),
        Tag.Practice, null);

    /// <summary>Bought new: then it had lain no longer than its kind may.</summary>
    public static AgeBound OfPaper(DateOnly bought, int months, Tag tag, string? reference) => new(
        AgeBoundRule.Shelf, bought.PlusMonthsClamped(-months),
        string.Create(
            CultureInfo.InvariantCulture,
            $"a paper shows it bought by {bought:O}, after up to {months} months on the shelf"),
        tag, reference);

    /// <summary>Fitted, and nothing says that it was new.</summary>
    public static AgeBound OfFitting(DateOnly fitted) => new(
        AgeBoundRule.Fitting, fitted.PlusMonthsClamped(-TenYears),
        string.Create(
            CultureInfo.InvariantCulture,
            $"it was first fitted by {fitted:O}, and parts are not fitted more than ten years after they are made"),
        Tag.Practice, null);
}

/// <summary>A reading that is kept, and does not govern while a nearer one stands.</summary>
public readonly record struct RemoteReading(MarkReading Reading, AgeBound Bound);
