namespace AgeWatch.Core.Marks;

/// <summary>Years of use that several conventions share. The open end is 2099-12-31, as far as two year figures
/// reach.</summary>
internal static class Eras
{
    public static readonly DateOnly Open = new(2099, 12, 31);

    /// <summary>Figures stamped by no rule: from the first year that two year figures can mean.</summary>
    public static readonly DateSpan Stamped = new(new(1900, 1, 1), Open);

    /// <summary>Years written in full: from before the first motor cars.</summary>
    public static readonly DateSpan FullYear = new(new(1880, 1, 1), Open);

    /// <summary>The first day of 49 CFR Part 574, from memory; our default lower bound for tyres.</summary>
    public static readonly DateOnly TyreRule = new(1971, 5, 22);

    /// <summary>The last day on which three symbols were lawful on a new tyre: 64 FR 36807, 8 July 1999.</summary>
    public static readonly DateOnly LastThreeFigures = new(2000, 7, 1);

    /// <summary>
    /// Year figures of an expiry are not read as before 1960, where the caller gives no earliest day. Our choice: it
    /// keeps 06/31 from meaning 1931 on a label made to be read; no label of expiry so old is known here.
    /// </summary>
    public static readonly DateOnly ExpiryFloor = new(1960, 1, 1);

    /// <summary>
    /// Where the caller gives no earliest day, one or two year figures are not read as before 1930, or before five
    /// years ahead of an older car. Our choice: it keeps 09 from meaning 1909 on every part; the reading is shown among
    /// the dropped.
    /// </summary>
    public static DateOnly DefaultFloor(DateSpan? built)
    {
        var floor = new DateOnly(1930, 1, 1);
        return built is { } b && b.First.PlusMonthsClamped(-60) < floor ? b.First.PlusMonthsClamped(-60) : floor;
    }

    public static DateSpan From(int year) => new(new(year, 1, 1), Open);
}
