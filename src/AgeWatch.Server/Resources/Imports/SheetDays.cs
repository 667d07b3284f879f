using System.Globalization;
using System.Text.RegularExpressions;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>Which of two figures of a day with slashes comes first.</summary>
internal enum DateOrder
{
    DayFirst,
    MonthFirst,
}

/// <summary>Days as people write them in a sheet.</summary>
internal static partial class SheetDays
{
    public const string Ambiguous = "ambiguous-day";

    private static readonly string[] DayForms =
    [
        "yyyy-MM-dd", "d.M.yyyy", "dd.MM.yyyy", "yyyy/M/d", "d MMM yyyy", "d MMMM yyyy", "d-MMM-yyyy", "MMM d, yyyy",
        "MMMM d, yyyy",
    ];

    private static readonly string[] MonthForms = ["MMM yyyy", "MMMM yyyy", "MMM-yyyy", "MMMM-yyyy"];

    // Where a spreadsheet begins to count: what it writes for nought, and often for a cell that was never filled.
    private static readonly DateOnly[] Beginnings =
        [new(1899, 12, 30), new(1899, 12, 31), new(1900, 1, 1), new(1904, 1, 1), new(1970, 1, 1)];

    public static bool IsWhereCountingBegins(DateOnly day) => Beginnings.Contains(day);

    /// <param name="order">What was said of the sheet's slashes; null: nothing, so that only a day that can be read in
    /// one way is taken.</param>
    /// <param name="shows">The order that this text alone shows.</param>
    /// <returns>Why it is no day; null: it is one.</returns>
    public static (string Code, string Detail)? Read(
        string text, DateOrder? order, out DateOnly day, out DateOrder? shows)
    {
        shows = null;
        if (DateOnly.TryParseExact(text, DayForms, CultureInfo.InvariantCulture, DateTimeStyles.None, out day))
        {
            return null;
        }

        if (Slashes().Match(text) is { Success: true } match)
        {
            return ReadSlashes(match, order, out day, out shows);
        }

        return TryMonth(text, out _) || CalendarSpanConverter.TryRead(text, out _)
            ? ("not-a-day", "Must be one day: a month or a year leaves open which. Take it from the paper, or leave "
                + "the cell empty and put what is known into the notes.")
            : ("wrong-format", "Must be a day: YYYY-MM-DD or DD.MM.YYYY.");
    }

    /// <summary>A month in words or in figures.</summary>
    public static bool TryMonth(string text, out DateSpan span)
    {
        span = default;
        if (DateOnly.TryParseExact(
            text, MonthForms, CultureInfo.InvariantCulture, DateTimeStyles.AllowInnerWhite, out var first))
        {
            span = DateSpan.Month(first.Year, first.Month);
        }
        else if (MonthYear().Match(text) is { Success: true } match && Number(match, 2) > 0)
        {
            span = DateSpan.Month(Number(match, 2), Number(match, 1));
        }

        return span != default;
    }

    private static (string Code, string Detail)? ReadSlashes(
        Match match, DateOrder? order, out DateOnly day, out DateOrder? shows)
    {
        var isDayFirst = TryDay(match, 2, 1, out var dayFirst);
        var isMonthFirst = TryDay(match, 1, 2, out var monthFirst);
        shows = isDayFirst == isMonthFirst ? null : isDayFirst ? DateOrder.DayFirst : DateOrder.MonthFirst;
        day = shows is null && order == DateOrder.MonthFirst || shows == DateOrder.MonthFirst ? monthFirst : dayFirst;
        return !isDayFirst && !isMonthFirst ? ("wrong-format", "There is no such day.")
            : shows is { } only && order is { } said && only != said
                ? ("against-date-order", "This is no day in the order that dateOrder names: one of the two is wrong.")
            : shows is null && order is null && dayFirst != monthFirst
                ? (Ambiguous, "Day and month can be read either way; write YYYY-MM-DD or DD.MM.YYYY, or say for "
                    + "the whole sheet dateOrder=day-first or month-first.")
            : null;
    }

    private static bool TryDay(Match match, int month, int dayOfMonth, out DateOnly day) => DateOnly.TryParseExact(
        FormattableString.Invariant(
            $"{Number(match, 3):0000}-{Number(match, month):00}-{Number(match, dayOfMonth):00}"),
        "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out day);

    private static int Number(Match match, int group) =>
        int.Parse(match.Groups[group].ValueSpan, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"\A([0-9]{1,2})/([0-9]{1,2})/([0-9]{4})\z")]
    private static partial Regex Slashes();

    [GeneratedRegex(@"\A(0?[1-9]|1[0-2])[/.-]([0-9]{4})\z")]
    private static partial Regex MonthYear();
}
