namespace AgeWatch.Core.Marks;

/// <summary>A fact that would leave fewer readings.</summary>
public enum OpenQuestion
{
    /// <summary>Is there a filled triangle after the figures?</summary>
    Triangle,
    SoldInUsa,
    OriginalPart,
    VehicleBuilt,
    LetterScheme,
    MadeOrExpires,
    DayOrMonthFirst,
    YearFirstOrLast,
    QuarterMonthOrWeek,
    CalendarOrDayNumber,
    GroupGaps,
    UnreadableCharacter,
    Decade,
    WhichConvention,
    OtherSidewall,
    BoreOrDate,
    WhenSeen,
}

public static class OpenQuestionText
{
    /// <summary>The question as a person beside the car would be asked it.</summary>
    public static string Sentence(this OpenQuestion question) => question switch
    {
        OpenQuestion.Triangle => "Is there a filled triangle after the digits?",
        OpenQuestion.SoldInUsa => "Was the part sold in the USA? There the law prints the month first on a brake hose.",
        OpenQuestion.OriginalPart => "Is the part original, fitted when the car was built?",
        OpenQuestion.VehicleBuilt => "When was the car built, if the part is original to it?",
        OpenQuestion.LetterScheme =>
            "Does this maker leave out the letter I? A letter M anywhere in his codes says yes, a letter I says no.",
        OpenQuestion.MadeOrExpires => "Do the words beside it say made, or not valid after?",
        OpenQuestion.DayOrMonthFirst =>
            "Does this maker put the day or the month first? A number above 12 on a sister part tells.",
        OpenQuestion.YearFirstOrLast => "Does this maker put the year first or last? Compare a sister part.",
        OpenQuestion.QuarterMonthOrWeek =>
            "Is the number before the year a quarter, a month or a week? A number above 4, or above 12, on a sister "
                + "part tells.",
        OpenQuestion.CalendarOrDayNumber =>
            "Are three of the figures the day of the year? A sister part with more than 12 or 31 there tells.",
        OpenQuestion.GroupGaps => "Where are the gaps between the groups of figures?",
        OpenQuestion.UnreadableCharacter =>
            "Can the unreadable character be made out after cleaning, in side light or on a rubbing?",
        OpenQuestion.Decade => "From which years can this part be? The decade is not in the mark.",
        OpenQuestion.WhichConvention => "Who made the part and how does this maker write dates?",
        OpenQuestion.OtherSidewall =>
            "What does the other sidewall say? The full number with the date is on one side only.",
        OpenQuestion.BoreOrDate =>
            "Is this pair the bore of the hose in inches? If it is the date, name the convention.",
        OpenQuestion.WhenSeen => "When was the mark seen?",
    };

    /// <summary>The member of <see cref="MarkQuestion"/> that takes the answer, in camel case as on the wire.</summary>
    public static string Member(this OpenQuestion question) => question switch
    {
        OpenQuestion.Triangle => "triangle",
        OpenQuestion.SoldInUsa => "country",
        OpenQuestion.OriginalPart => "originalEquipment",
        OpenQuestion.VehicleBuilt => "vehicleBuilt",
        OpenQuestion.LetterScheme => "letterScheme",
        OpenQuestion.MadeOrExpires => "role",
        OpenQuestion.Decade => "notBefore",
        OpenQuestion.WhenSeen => "observed",
        OpenQuestion.GroupGaps or OpenQuestion.UnreadableCharacter or OpenQuestion.OtherSidewall => "mark",
        OpenQuestion.DayOrMonthFirst or OpenQuestion.YearFirstOrLast or OpenQuestion.QuarterMonthOrWeek
            or OpenQuestion.CalendarOrDayNumber or OpenQuestion.WhichConvention or OpenQuestion.BoreOrDate =>
                "convention",
    };
}
