namespace AgeWatch.Core.Marks;

/// <summary>What a date on a part says.</summary>
public enum MarkKind
{
    /// <summary>When the part was made. It cannot lie after the day the mark was seen.</summary>
    Manufacture,

    /// <summary>Until when the part may be used, the last day of the span included. It may lie in the future.</summary>
    Expiry,
}

/// <summary>How many distinct meanings are left.</summary>
public enum MarkOutcome
{
    One,
    Several,
    None,
}

/// <summary>An answer that may not be known; unknown rules nothing out.</summary>
public enum YesNo
{
    Unknown,
    Yes,
    No,
}

/// <summary>What a question with a yes, a no or no answer at all comes to.</summary>
public static class YesNoAnswer
{
    /// <param name="said">Null: nobody has said.</param>
    public static YesNo ToYesNo(this bool? said) =>
        said switch { true => YesNo.Yes, false => YesNo.No, null => YesNo.Unknown };
}

/// <summary>How a month letter is counted.</summary>
/// <remarks>
/// Common practice: A to H are January to August in both. Skipping I gives J = September ... M = December
/// (autoshop101.com battery module 127); straight counting gives I = September ... L = December
/// (lakegolfcarts.com/datecodes.html).
/// </remarks>
public enum LetterScheme
{
    Unknown,
    SkipI,
    AToL,
}
