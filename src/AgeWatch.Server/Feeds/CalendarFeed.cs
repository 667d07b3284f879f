using System.Globalization;
using System.Text;

namespace AgeWatch.Server.Feeds;

/// <summary>One due day in a calendar.</summary>
/// <param name="Uid">Of the part and its cycle, never of the day: a moved day moves the entry, a new cycle is a new
/// entry.</param>
/// <param name="Day">The first day on which it is due; where none can be told, the day since when.</param>
/// <param name="ChangedAt">When the answer last changed. Never "now": the bytes stay the same until the facts
/// change.</param>
/// <param name="Sequence">Raised by every change of this entry.</param>
/// <param name="HasDueDay">False: it is unknown when it is due, which must not keep it out of the list.</param>
internal sealed record CalendarEntry(
    string Uid, DateOnly Day, string Summary, string Description, DateTimeOffset ChangedAt, int Sequence,
    IReadOnlyList<string> Categories, Uri? Url = null, bool HasDueDay = true);

internal enum CalendarForm
{
    /// <summary>All-day events: what most calendars show of a subscription.</summary>
    Events,

    /// <summary>Tasks, for the clients that show them.</summary>
    Todos,
}

/// <summary>Writes iCalendar (RFC 5545, RFC 7986).</summary>
internal static class CalendarFeed
{
    public const string ContentType = "text/calendar; charset=utf-8";

    private const int MaxOctets = 75;

    public static byte[] Write(string name, IEnumerable<CalendarEntry> entries, CalendarForm form = CalendarForm.Events)
    {
        var lines = new StringBuilder();
        Add(lines, "BEGIN:VCALENDAR");
        Add(lines, "VERSION:2.0");
        Add(lines, "PRODID:-//AgeWatch//AgeWatch 1//EN");
        Add(lines, "CALSCALE:GREGORIAN");
        Add(lines, "NAME:" + Escape(name));
        Add(lines, "X-WR-CALNAME:" + Escape(name));
        Add(lines, "REFRESH-INTERVAL;VALUE=DURATION:PT12H");
        Add(lines, "X-PUBLISHED-TTL:PT12H");
        foreach (var entry in entries)
        {
            Add(lines, entry, form);
        }

        Add(lines, "END:VCALENDAR");
        return Encoding.UTF8.GetBytes(lines.ToString());
    }

    private static void Add(StringBuilder lines, CalendarEntry entry, CalendarForm form)
    {
        var component = form == CalendarForm.Events ? "VEVENT" : "VTODO";
        Add(lines, "BEGIN:" + component);
        Add(lines, "UID:" + Escape(entry.Uid));

        // Without METHOD the stamp means "last changed" (RFC 5545 3.8.7.2).
        var changed = entry.ChangedAt.UtcDateTime.ToString("yyyyMMdd'T'HHmmss'Z'", CultureInfo.InvariantCulture);
        Add(lines, "DTSTAMP:" + changed);
        Add(lines, "LAST-MODIFIED:" + changed);
        Add(lines, string.Create(CultureInfo.InvariantCulture, $"SEQUENCE:{entry.Sequence}"));

        // Due on the day means overdue as it begins, which is what a DATE in DUE says (RFC 5545 3.6.2).
        var day = entry.Day.ToString("yyyyMMdd", CultureInfo.InvariantCulture);
        if (form == CalendarForm.Events)
        {
            Add(lines, "DTSTART;VALUE=DATE:" + day);
        }
        else if (entry.HasDueDay)
        {
            Add(lines, "DUE;VALUE=DATE:" + day);
        }

        Add(lines, "SUMMARY:" + Escape(entry.Summary));
        Add(lines, "DESCRIPTION:" + Escape(entry.Description));
        if (entry.Categories.Count > 0)
        {
            Add(lines, "CATEGORIES:" + string.Join(',', entry.Categories.Select(Escape)));
        }

        if (entry.Url is { } url)
        {
            Add(lines, "URL:" + url.AbsoluteUri);
        }

        Add(lines, form == CalendarForm.Events ? "TRANSP:TRANSPARENT" : "STATUS:NEEDS-ACTION");
        Add(lines, "END:" + component);
    }

    /// <summary>A TEXT value (RFC 5545 3.3.11): the colon is never escaped, and control characters have no
    /// place.</summary>
    public static string Escape(string text)
    {
        var escaped = new StringBuilder(text.Length + 8);
        foreach (var c in text.ReplaceLineEndings("\n"))
        {
            _ = c switch
            {
                '\\' or ';' or ',' => escaped.Append('\\').Append(c),
                '\n' => escaped.Append("\\n"),
                _ when char.IsControl(c) => escaped.Append(' '),
                _ => escaped.Append(c),
            };
        }

        return escaped.ToString();
    }

    /// <summary>A content line, folded at 75 octets and never within a character (RFC 5545 3.1).</summary>
    private static void Add(StringBuilder lines, string line)
    {
        var octets = 0;
        foreach (var rune in line.EnumerateRunes())
        {
            if (octets + rune.Utf8SequenceLength > MaxOctets)
            {
                lines.Append("\r\n ");
                octets = 1;
            }

            lines.Append(rune);
            octets += rune.Utf8SequenceLength;
        }

        lines.Append("\r\n");
    }
}
