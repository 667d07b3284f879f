namespace AgeWatch.Core.Marks;

/// <summary>Why a reading, or a whole mark, was not kept.</summary>
public enum DropCode
{
    /// <summary>The text has not the form of the convention.</summary>
    Malformed,
    Empty,
    TextTooLong,
    HostileText,
    TooManyUnreadable,
    UnknownConvention,
    NoSuchDate,
    NoSuchTime,
    MonthOutOfRange,
    WeekOutOfRange,
    QuarterOutOfRange,
    DayOfYearOutOfRange,
    LetterNotUsed,

    /// <summary>A tyre number without the date group: the other sidewall has it.</summary>
    NoDateGroup,

    /// <summary>The words on the part say made, the convention is one of expiry.</summary>
    NotAnExpiry,

    /// <summary>The words on the part say not valid after, the convention is one of manufacture.</summary>
    NotAManufacture,
    OutsideConventionYears,

    /// <summary>Before 1930, read from one or two year figures with no earliest day given.</summary>
    BeforeDefaultBound,
    BeforeNotBefore,
    AfterNotAfter,
    SeenBeforeMade,

    /// <summary>It lies after the day of asking.</summary>
    NotYetMade,
    MadeAfterCar,
    TriangleSaysNineties,

    /// <summary>Where the part was sold the law fixes another order of the same figures.</summary>
    LawOfPlace,

    /// <summary>An expiry of two year figures so far ahead that no part is good for so long, with no nearer
    /// meaning.</summary>
    BeyondAnyLife,

    /// <summary>An expiry with one figure of the year, which no label carries.</summary>
    ExpiryWithoutDecade,

    /// <summary>On a hose a fraction of an inch is its bore; it would make an undated hose look young.</summary>
    CouldBeBore,

    /// <summary>A club's own expression ran out of its time.</summary>
    OwnConventionTimedOut,
}

/// <summary>A meaning that was considered and not kept. It is dropped whole: no reading is ever clipped.</summary>
/// <param name="Convention">Key of the convention; null when the text as a whole was refused.</param>
/// <param name="Span">The days it would have meant; null when it named no days.</param>
public readonly record struct DroppedReading(string? Convention, DateSpan? Span, DropCode Code)
{
    /// <summary>A date was read, and it cannot be; false when the text is no date or was not read as one.</summary>
    public bool IsImpossible => Code is DropCode.NoSuchDate or DropCode.NoSuchTime or DropCode.MonthOutOfRange
        or DropCode.WeekOutOfRange or DropCode.QuarterOutOfRange or DropCode.DayOfYearOutOfRange
        or DropCode.OutsideConventionYears or DropCode.BeforeDefaultBound or DropCode.BeforeNotBefore
        or DropCode.AfterNotAfter or DropCode.SeenBeforeMade or DropCode.NotYetMade or DropCode.MadeAfterCar
        or DropCode.TriangleSaysNineties or DropCode.BeyondAnyLife or DropCode.ExpiryWithoutDecade;

    /// <summary>The code in a sentence.</summary>
    public string Reason => Code switch
    {
        DropCode.Malformed => "The text does not have the form of this convention.",
        DropCode.Empty => "There is nothing to read.",
        DropCode.TextTooLong => $"A mark has at most {MarkQuestion.MaxTextLength} characters.",
        DropCode.HostileText => "The text holds control characters or broken letters that no part carries.",
        DropCode.TooManyUnreadable => "At most two characters may be unreadable.",
        DropCode.UnknownConvention => "There is no convention of this name.",
        DropCode.NoSuchDate => "There is no such day in the calendar.",
        DropCode.NoSuchTime => "There is no such time of day or offset.",
        DropCode.MonthOutOfRange => "A month is 1 to 12.",
        DropCode.WeekOutOfRange => "That year has no such week by this convention's count.",
        DropCode.QuarterOutOfRange => "A quarter is 1 to 4.",
        DropCode.DayOfYearOutOfRange => "That year has no such day number.",
        DropCode.LetterNotUsed => "This convention does not use that letter there.",
        DropCode.NoDateGroup => "The tyre number has no date group here; look at the other sidewall.",
        DropCode.NotAnExpiry => "The words on the part say when it was made, not until when it is good.",
        DropCode.NotAManufacture => "The words on the part say until when it is good, not when it was made.",
        DropCode.OutsideConventionYears => "The convention was not in use then.",
        DropCode.BeforeDefaultBound =>
            "Year figures alone are not read as before 1930; give an earliest day if the part can be that old.",
        DropCode.BeforeNotBefore => "It ends before the earliest day given.",
        DropCode.AfterNotAfter => "It starts after the latest day given.",
        DropCode.SeenBeforeMade => "The mark was seen before that: a part cannot be seen before it is made.",
        DropCode.NotYetMade => "It lies in the future: no part is seen before it is made.",
        DropCode.BeyondAnyLife =>
            $"No part is good for {RuledOutReadings.LongestLife} years ahead; the year figures must mean something else.",
        DropCode.ExpiryWithoutDecade => "No label says until when a part is good with one figure of the year.",
        DropCode.CouldBeBore => "On a hose this can be the bore in inches. Name the convention if it is the date.",
        DropCode.MadeAfterCar => "An original part was not made after its car was built.",
        DropCode.TriangleSaysNineties => "The triangle after the figures stands for the 1990s.",
        DropCode.LawOfPlace => "Where it was sold the law prints the month first on this part.",
        DropCode.OwnConventionTimedOut => "The club's expression took too long on this text.",
    };
}
