using System.Globalization;

namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Date and time of RFC 3339, read for the date as written: 1996-12-19T16:39:57-08:00 is 19 December
/// 1996.</summary>
/// <remarks>
/// Source: RFC 3339 sections 5.6 and 5.8, from memory. A second 60 is text for a leap second: 23:59 UTC on the last day
/// of a month.
/// </remarks>
internal sealed class Rfc3339Instant() : MarkConvention(new()
{
    Key = "rfc3339",
    Name = "Date and time",
    LooksLike = "Date, T, time and offset: 1985-04-12T23:20:50.52Z.",
    FoundOn = "Logs and exports, not parts.",
    ReadsAs = "The date as written, at the place of the offset.",
    Parts = [
        new("1985", "year"), new("-"), new("04", "month"), new("-"), new("12", "day"), new("T"),
        new("23:20:50.52", "time"), new("Z", "offset")],
    MistakenFor = "The date in UTC.",
    Years = Eras.FullYear,
    LoneLetters = "TZ",
    Tag = Tag.Memory,
    Source = "RFC 3339, sections 5.6 and 5.8",
    Examples =
    [
        new("1985-04-12T23:20:50.52Z", DateSpan.Day(new(1985, 4, 12))),
        new("1996-12-19T16:39:57-08:00", DateSpan.Day(new(1996, 12, 19))),
    ],
})
{
    private const string Form = "0000-00-00T00:00:00";

    internal override MarkOrder Order => MarkOrder.YearFirst;

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        var chars = text.Body;
        if (!HasForm(chars) || !Offset(chars[Form.Length..], out var offset))
        {
            return;
        }

        int hour = Two(chars, 11), minute = Two(chars, 14), second = Two(chars, 17);
        int year = Two(chars, 0) * 100 + Two(chars, 2), month = Two(chars, 5), day = Two(chars, 8);
        if (hour > 23 || minute > 59 || second > 60 || offset is null
            || (second == 60 && !IsLeapSecond(year, month, day, hour * 60 + minute - offset.Value)))
        {
            collector.Refuse(DropCode.NoSuchTime);
            return;
        }

        collector.Day(year, 4, month, day);
    }

    private static bool HasForm(ReadOnlySpan<char> chars)
    {
        if (chars.Length < Form.Length + 1)
        {
            return false;
        }

        for (var i = 0; i < Form.Length; i++)
        {
            var fits = Form[i] == '0'
                ? char.IsAsciiDigit(chars[i])
                : chars[i] == Form[i] || (Form[i] == 'T' && chars[i] == ' ');
            if (!fits)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Fraction, then Z or an offset; <paramref name="minutes"/> is null when the offset has the form but
    /// cannot be.</summary>
    private static bool Offset(ReadOnlySpan<char> rest, out int? minutes)
    {
        minutes = 0;
        if (rest[0] == '.')
        {
            var figures = 1;
            while (figures < rest.Length && char.IsAsciiDigit(rest[figures]))
            {
                figures++;
            }

            if (figures == 1 || figures == rest.Length)
            {
                return false;
            }

            rest = rest[figures..];
        }

        if (rest is "Z")
        {
            return true;
        }

        if (rest.Length != 6
            || rest[0] is not ('+' or '-')
            || rest[3] != ':'
            || !char.IsAsciiDigit(rest[1])
            || !char.IsAsciiDigit(rest[2])
            || !char.IsAsciiDigit(rest[4]) || !char.IsAsciiDigit(rest[5]))
        {
            return false;
        }

        var (hours, past) = (Two(rest, 1), Two(rest, 4));
        minutes = hours > 23 || past > 59 ? null : (hours * 60 + past) * (rest[0] == '-' ? -1 : 1);
        return true;
    }

    private static bool IsLeapSecond(int year, int month, int day, int utcMinutes)
    {
        if (year is < 2 or > 9998 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(year, month))
        {
            return true;
        }

        var utc = new DateTime(year, month, day, 0, 0, 0, DateTimeKind.Utc).AddMinutes(utcMinutes);
        return utc is { Hour: 23, Minute: 59 } && utc.Day == DateTime.DaysInMonth(utc.Year, utc.Month);
    }

    private static int Two(ReadOnlySpan<char> chars, int at) => (chars[at] - '0') * 10 + (chars[at + 1] - '0');

    public override string? Render(MarkReading reading) =>
        (reading.Span.First.ToString("O", CultureInfo.InvariantCulture) + "T00:00:00Z").WithKind(reading, this);
}
