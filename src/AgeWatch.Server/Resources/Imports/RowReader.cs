using System.Globalization;
using System.Text.RegularExpressions;
using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>What the text of a cell means. Each reader says what is wrong and then answers null.</summary>
internal sealed partial class RowReader(SheetRow row, SheetFindings findings, SheetWords words)
{
    private const int LongestNotes = 4000;
    private const NumberStyles SignedNumber = NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign;

    public int Line => row.Line;

    /// <summary>As it stands in the sheet; what may stand there a record of Core knows.</summary>
    public string? AsWritten(string column) => row[column];

    /// <param name="columnOf">The column of a member of the record.</param>
    /// <returns>Whether anything was refused.</returns>
    public bool Refuse(IEnumerable<Refusal> refusals, Func<string, string> columnOf)
    {
        var isRefused = false;
        foreach (var refusal in refusals)
        {
            Add(columnOf(refusal.Member), refusal.Code, refusal.Detail);
            isRefused = true;
        }

        return isRefused;
    }

    public string? Text(string column, int longest = 200)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        return text.Length > longest ? Wrong<string>(column, "wrong-length", $"Must be at most {longest} characters.")
            : OneLineText.Accepts(text) ? text
            : Wrong<string>(column, OneLineText.Code, "Must be one line of text.");
    }

    public string? Notes() => row[Columns.Notes] is { Length: > LongestNotes }
        ? Wrong<string>(Columns.Notes, "wrong-length", $"Must be at most {LongestNotes} characters.")
        : row[Columns.Notes];

    public string? Required(string column, int longest = 200) =>
        row[column] is null
            ? Wrong<string>(column, "missing", $"A {row[Columns.Record] ?? "row like this"} needs this column.")
            : Text(column, longest);

    /// <summary>A day; with slashes only where it can be read in one way, or in the order said for the sheet.</summary>
    public DateOnly? Day(string column)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        var wrong = SheetDays.Read(text, words.DateOrder, out var day, out var shows);
        if (shows is { } order)
        {
            findings.Shows(order);
        }

        if (wrong is var (code, detail))
        {
            if (code == SheetDays.Ambiguous)
            {
                findings.AsksForOrder();
            }

            return WrongValue<DateOnly>(column, code, detail);
        }

        if (SheetDays.IsWhereCountingBegins(day))
        {
            Warn(column, "odd-day", "Spreadsheets write this day for nought or for an empty cell; is it meant?");
        }

        return day;
    }

    /// <summary>What stands there is no day; it has been said.</summary>
    public bool IsUnread(string column, DateOnly? day) => day is null && row[column] is not null;

    /// <summary>A day, a month or a year.</summary>
    public DateSpan? Span(string column)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        if (CalendarSpanConverter.TryRead(text, out var span))
        {
            return span;
        }

        return SheetDays.TryMonth(text, out var month) ? month
            : Day(column) is { } day ? DateSpan.Day(day)
            : null;
    }

    /// <summary>A whole number of at most nine digits.</summary>
    public int? Whole(string column, int least, int most)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        return int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            && number >= least
            && number <= most
            ? number
            : WrongValue<int>(column, "out-of-range", $"Must be a whole number from {least} to {most}.");
    }

    /// <summary>What an odometer shows: <c>61,200 mi</c>, <c>98 500 km</c>, <c>45210</c>. Without a unit it is the
    /// vehicle's.</summary>
    public (decimal Value, DistanceUnit? Unit)? Odometer(string column)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        if (Distance().Match(text) is not { Success: true } match
            || !decimal.TryParse(
                Grouping().Replace(match.Groups["number"].Value, ""), SignedNumber, CultureInfo.InvariantCulture,
                out var value))
        {
            return WrongValue<(decimal, DistanceUnit?)>(
                column, "wrong-format", "Must be a distance such as 61200 mi, 98,500 km or 45210.");
        }

        if (match.Groups["unit"].Value is not { Length: > 0 } word)
        {
            return (value, null);
        }

        return words.UnitOf(word) is { } unit ? (value, unit) : WrongUnit<(decimal, DistanceUnit?)>(column, word);
    }

    /// <summary>Running hours as a meter shows them: <c>1250</c>, <c>1250.5</c>.</summary>
    public decimal? Hours(string column)
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        // A comma could part thousands or tenths; the meter has a point.
        return decimal.TryParse(text, SignedNumber, CultureInfo.InvariantCulture, out var hours)
            ? hours
            : WrongValue<decimal>(column, "wrong-format", "Must be running hours such as 1250 or 1250.5.");
    }

    public bool? YesNo(string column) => row[column]?.ToLowerInvariant() switch
    {
        null => null,
        "yes" or "y" or "true" or "1" or "x" => true,
        "no" or "n" or "false" or "0" => false,
        _ => WrongValue<bool>(column, "wrong-format", "Must be yes or no."),
    };

    public DistanceUnit? Unit(string column) => row[column] is not { } text ? null
        : words.UnitOf(text) ?? WrongUnit<DistanceUnit>(column, text);

    public T? Word<T>(string column)
        where T : struct, Enum
    {
        if (row[column] is not { } text)
        {
            return null;
        }

        return WireNames.TryRead<T>(text.ToLowerInvariant(), out var value)
            ? value
            : WrongValue<T>(column, "unknown-value", $"Must be one of: {string.Join(", ", WireNames.All(typeof(T)))}.");
    }

    public T? Wrong<T>(string? column, string code, string detail)
        where T : class
    {
        Add(column, code, detail);
        return null;
    }

    public T? WrongValue<T>(string? column, string code, string detail)
        where T : struct
    {
        Add(column, code, detail);
        return null;
    }

    /// <summary>It is odd, and possible.</summary>
    public void Warn(string? column, string code, string detail) =>
        AddOnce(findings.Warnings, column, code, detail);

    private T? WrongUnit<T>(string column, string word)
        where T : struct
    {
        if (HeadingHints.UnitNear(word) is { } unit)
        {
            findings.Suggest("units", $"{Sheet.Fold(word)}:{WireNames.Of(unit)}");
        }

        return WrongValue<T>(
            column, "unknown-value",
            "The unit must be km or mi; say what another word means with units=word:km or units=word:mi.");
    }

    private void Add(string? column, string code, string detail) =>
        AddOnce(findings.Faults, column, code, detail);

    // A cell that is read twice is wrong once.
    private void AddOnce(List<SheetFault> faults, string? column, string code, string detail)
    {
        SheetFault fault = new(row.Line, column, code, detail);
        for (var i = faults.Count - 1; i >= 0 && faults[i].Line == row.Line; i--)
        {
            if (faults[i] == fault)
            {
                return;
            }
        }

        faults.Add(fault);
    }

    [GeneratedRegex(
        @"\A(?<number>-?(?:[0-9]{1,3}([ ,.'\u00a0\u202f][0-9]{3})+|[0-9]+(\.[0-9]+)?))\s*(?<unit>\p{L}[\p{L} .-]{0,30})?\z")]
    private static partial Regex Distance();

    // A point or comma before exactly three digits parts thousands: no odometer shows thousandths.
    [GeneratedRegex(@"[ ,.'\u00a0\u202f](?=[0-9]{3}(?![0-9]))")]
    private static partial Regex Grouping();
}
