using System.Globalization;
using System.Text;
using System.Text.Json;
using AgeWatch.Server.Feeds;
using AgeWatch.Server.Kernel.Http;
using CsvHelper;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class FeedTests
{
    private static readonly DateTimeOffset Changed = new(2026, 11, 20, 3, 30, 0, TimeSpan.Zero);

    private static readonly CalendarEntry Hoses = new(
        "u-hoses-1", new(2026, 12, 1), "Replace the front brake hoses; left, right",
        "Made 2017-10 (mark)\nLimit 6 years (practice)", Changed, 3,
        ["catastrophic", "overdue"], new Uri("https://club.example/v1/vehicles/1"));

    private static readonly CalendarEntry Belt = new(
        "u-belt-1", new(2027, 2, 28), "Timing belt: " + new string('ä', 60), "", Changed.AddDays(1), 0, []);

    /// <summary>RFC 5545 3.6.1, 3.8: the lines by hand from the grammar; DTEND is left out for a single day.</summary>
    [Fact]
    public void An_event_is_written_as_the_grammar_says()
    {
        var lines = Unfold(CalendarFeed.Write("Bob's cars", [Hoses]));

        Assert.Equal(
            [
                "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//AgeWatch//AgeWatch 1//EN", "CALSCALE:GREGORIAN",
                "NAME:Bob's cars", "X-WR-CALNAME:Bob's cars", "REFRESH-INTERVAL;VALUE=DURATION:PT12H",
                "X-PUBLISHED-TTL:PT12H",
                "BEGIN:VEVENT", "UID:u-hoses-1", "DTSTAMP:20261120T033000Z", "LAST-MODIFIED:20261120T033000Z",
                "SEQUENCE:3",
                "DTSTART;VALUE=DATE:20261201", "SUMMARY:Replace the front brake hoses\\; left\\, right",
                "DESCRIPTION:Made 2017-10 (mark)\\nLimit 6 years (practice)", "CATEGORIES:catastrophic,overdue",
                "URL:https://club.example/v1/vehicles/1", "TRANSP:TRANSPARENT", "END:VEVENT", "END:VCALENDAR",
            ],
            lines);
    }

    /// <summary>Worst first, as they come; the same facts give the same bytes.</summary>
    [Fact]
    public void Entries_keep_the_order_in_which_they_come()
    {
        var bytes = CalendarFeed.Write("c", [Hoses, Belt]);

        Assert.Equal(bytes, CalendarFeed.Write("c", [Hoses, Belt]));
        Assert.Equal(
            [$"UID:{Hoses.Uid}", $"UID:{Belt.Uid}"],
            Unfold(bytes).Where(line => line.StartsWith("UID:", StringComparison.Ordinal)));
    }

    /// <summary>RFC 5545 3.1 (rfc5545/fold): at most 75 octets, never inside a character, and unfolding gives the line
    /// back.</summary>
    [Fact]
    public void Long_lines_fold_by_octets()
    {
        var probe = DeliveryVectors.Cases("rfc5545/fold")
            .Select(c => c.Text("probe"))
            .OfType<string>()
            .Single()["SUMMARY:".Length..];
        var bytes = CalendarFeed.Write(
            "c", [Belt with { Summary = probe, Description = string.Concat(Enumerable.Repeat("🚗", 100)) }]);
        var text = new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(bytes);

        Assert.All(text.Split("\r\n"), line => Assert.InRange(Encoding.UTF8.GetByteCount(line), 0, 75));
        Assert.All(text.Split("\r\n"), line => Assert.DoesNotContain('\uFFFD', line));
        Assert.Contains("SUMMARY:" + probe, Unfold(bytes));
    }

    /// <summary>RFC 5545 3.3.11 (rfc5545/text-escape).</summary>
    [Fact]
    public void Text_is_escaped_as_published()
    {
        foreach (var vector in DeliveryVectors.Cases("rfc5545/text-escape"))
        {
            Assert.Equal(vector.Text("value"), CalendarFeed.Escape(vector.Text("text")!));
        }

        Assert.Equal("a\\nb c", CalendarFeed.Escape("a\r\nb\u0007c"));
    }

    /// <summary>RFC 5545 3.6.2 (rfc5545/vtodo): "must be done before 1 May" is DUE;VALUE=DATE:20070501.</summary>
    [Fact]
    public void A_task_is_overdue_as_its_due_day_begins()
    {
        var todo = Unfold(CalendarFeed.Write("c", [Hoses with { Day = new(2007, 5, 1) }], CalendarForm.Todos));

        Assert.Contains("DUE;VALUE=DATE:20070501", todo);
        Assert.Contains("BEGIN:VTODO", todo);
        Assert.DoesNotContain(todo, line => line.StartsWith("DTSTART", StringComparison.Ordinal));
    }

    /// <summary>Ical.Net as an independent parser.</summary>
    [Fact]
    public void Another_parser_reads_the_same()
    {
        var calendar = Ical.Net.Calendar.Load(Encoding.UTF8.GetString(CalendarFeed.Write(
            "Bob; his, cars", [Hoses, Belt])))!;

        Assert.Equal("Bob; his, cars", calendar.Properties["NAME"]!.Value);
        var hoses = calendar.Events.Single(e => e.Uid == Hoses.Uid);
        Assert.Equal(Hoses.Summary, hoses.Summary);
        Assert.Equal(Hoses.Description, hoses.Description);
        Assert.Equal(new DateTime(2026, 12, 1), hoses.Start!.Value.Date);
        Assert.True(hoses.IsAllDay);
        Assert.Equal(3, hoses.Sequence);
        Assert.Equal(Hoses.Categories, hoses.Categories);
        Assert.Equal(Belt.Summary, calendar.Events.Single(e => e.Uid == Belt.Uid).Summary);
    }

    /// <summary>jsonfeed/1.1: version first, title, items; every item an id and a content; RFC 3339 dates.</summary>
    [Fact]
    public void A_json_feed_has_what_its_version_asks()
    {
        var rule = DeliveryVectors.Cases("jsonfeed/1.1").Single();
        var bytes = JsonFeed.Write("Bob's cars", new Uri("https://club.example/"), [Hoses, Belt]);
        using var feed = JsonDocument.Parse(bytes);
        var root = feed.RootElement;

        Assert.StartsWith($$"""{"version":"{{rule.Text("version")}}",""", Encoding.UTF8.GetString(bytes), StringComparison.Ordinal);
        Assert.All(rule.GetProperty("required_top").EnumerateArray(), name =>
            Assert.True(root.TryGetProperty(name.GetString()!, out _)));
        Assert.Equal(JsonFeed.ContentType, rule.Text("mime"));
        var first = root.GetProperty("items")[0];
        Assert.Equal(
            ("u-hoses-1", Hoses.Summary, Hoses.Description, "2026-11-20T03:30:00Z", "2026-12-01"),
            (
                first.Text("id"), first.Text("title"), first.Text("content_text"), first.Text("date_modified"),
                first.GetProperty("_agewatch").Text("due_on")));
        Assert.Equal("", root.GetProperty("items")[1].Text("content_text"));
    }

    /// <summary>OWASP ASVS 5 1.2.10 (csv-injection).</summary>
    [Fact]
    public void Formulas_are_disarmed_as_published_and_come_back_unharmed()
    {
        foreach (var vector in DeliveryVectors.Cases("csv-injection"))
        {
            Assert.Equal(vector.Text("out"), CsvGuard.Guard(vector.Text("cell")!));
        }

        string[] cells = [
            "", "plain", "=1+1", "'=1+1", "''=1", "'quoted'", "'", "-5", "+44 1632 960000", "\uFF1D1", "\r=1", "-",
            "'-"];
        Assert.All(cells, cell => Assert.Equal(cell, CsvGuard.Unguard(CsvGuard.Guard(cell))));
        Assert.All(cells, cell => Assert.DoesNotContain(CsvGuard.Guard(cell).FirstOrDefault('x'), "=+-@\t\0\r"));
    }

    [Fact]
    public async Task A_table_reads_back_by_the_rules_of_rfc_4180()
    {
        (string Name, decimal Value)[] rows = [
            ("a,b", -5m), ("say \"hi\"", 1.5m), ("two\r\nlines", 0m), (" spaced ", 7m), ("=1+1", 8m), ("ʤ", 9m)];
        CsvColumn<(string Name, decimal Value)>[] columns =
            [
                new("name", r => r.Name, IsText: true),
                new("value", r => r.Value.ToString(CultureInfo.InvariantCulture)), new("none", _ => null)];
        using var stream = new MemoryStream();

        await CsvTable.WriteAsync(
            stream, columns, rows.ToAsyncEnumerable(), raw: false, TestContext.Current.CancellationToken);

        var text = Encoding.UTF8.GetString(stream.ToArray());
        Assert.StartsWith("name,value,none\r\n\"a,b\",-5,\r\n", text, StringComparison.Ordinal);
        Assert.EndsWith("ʤ,9,\r\n", text, StringComparison.Ordinal);
        using var reader = CsvReader.FromText(text, CsvReaderOptions.Default);
        List<string> names = [];
        while (reader.Read())
        {
            names.Add(CsvGuard.Unguard(reader.GetString("name")));
        }

        Assert.Equal(rows.Select(r => r.Name), names);
    }

    [Fact]
    public async Task Lines_of_json_are_one_value_each()
    {
        using var stream = new MemoryStream();

        await NdJson.WriteAsync(
            stream, new[] { "a\nb", "c" }.ToAsyncEnumerable(), new JsonSerializerOptions { WriteIndented = true },
            TestContext.Current.CancellationToken);

        Assert.Equal("\"a\\nb\"\n\"c\"\n", Encoding.UTF8.GetString(stream.ToArray()));
    }

    private static string[] Unfold(byte[] calendar) =>
        Encoding.UTF8.GetString(calendar).Replace("\r\n ", "", StringComparison.Ordinal).TrimEnd().Split("\r\n");
}
