using System.Text.Json;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>
/// Cases in the manner of mark-vectors.json, written from the standards each names. Days were worked out by another
/// program: tyre weeks by the %U of C's strftime (the days before the first Sunday are week 00 there), the rest by
/// Python's calendar.
/// </summary>
public sealed class MarkCaseTests
{
    private static readonly JsonElement[] Cases =
        [.. JsonDocument.Parse(File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "Vectors", "mark-cases.json")))
            .RootElement.EnumerateArray()];

    public static TheoryData<int, string, string> Rows
    {
        get
        {
            var rows = new TheoryData<int, string, string>();
            foreach (var (index, c) in Cases.Index())
            {
                rows.Add(index, c.GetProperty("convention").GetString()!, c.GetProperty("input").GetString()!);
            }

            return rows;
        }
    }

    [Theory]
    [MemberData(nameof(Rows))]
    public void It_means_what_its_source_says(int index, string convention, string input)
    {
        var c = Cases[index];
        var question = MarkVectors.Question(c);
        if (c.GetProperty("context").TryGetProperty("partKind", out var key))
        {
            var kind = PartCatalogue.BuiltIn.Find(key.GetString()!)!;
            question = question with { Likely = kind.Mark.Likely, Possible = kind.Mark.Possible };
        }

        var answer = MarkReader.Read(question);

        var read = answer.Readings.Select(r => $"{r.Kind} {r.Canonical} {r.Span}").Order().ToList();
        var stated = c.GetProperty("readings").EnumerateArray().Select(r =>
            $"{Enum.Parse<MarkKind>(r.GetProperty("kind").GetString()!, ignoreCase: true)} "
                + $"{r.GetProperty("reading").GetString()} "
            + new DateSpan(Day(r, "earliest"), Day(r, "latest"))).Order().ToList();
        var facts = $"{convention} \"{input}\": {string.Join(", ", read)}";
        switch (c.GetProperty("expect").GetString())
        {
            case "exactly":
                Assert.True(stated.SequenceEqual(read), facts);
                break;
            case "among":
                Assert.True(stated.All(read.Contains), facts);
                break;
            case "never":
                Assert.False(stated.Exists(read.Contains), facts);
                break;
            default:
                Assert.Fail("What is expected?");
                break;
        }
    }

    /// <summary>Nothing named the convention: "3/16" on a brake hose is its bore as likely as March 2016, and must not
    /// make it young.</summary>
    [Fact]
    public void A_bare_bore_is_asked_about()
    {
        var hose = PartCatalogue.BuiltIn.Find("brake-hose-flexible")!.Mark;

        var answer = MarkReader.Read(
            new("3/16") { Observed = new(2026, 6, 30), Likely = hose.Likely, Possible = hose.Possible });

        Assert.Equal([OpenQuestion.BoreOrDate], answer.Questions);
        Assert.Contains(answer.Dropped, d => d.Code == DropCode.CouldBeBore);
        Assert.StartsWith("On a hose", answer.Reason, StringComparison.Ordinal);
    }

    /// <summary>A fraction of an inch is written in lowest terms, so that 2/16 is no bore; read as month-year of 49 CFR
    /// 571.106 S5.2.2.</summary>
    [Fact]
    public void What_is_not_in_lowest_terms_is_no_bore()
    {
        var hose = PartCatalogue.BuiltIn.Find("brake-hose-flexible")!.Mark;

        var answer = MarkReader.Read(
            new("2/16") { Observed = new(2026, 6, 30), Likely = hose.Likely, Possible = hose.Possible });

        Assert.Contains(answer.Readings, reading => reading.Span == new DateSpan(new(2016, 2, 1), new(2016, 2, 29)));
    }

    /// <summary>Nobody has seen a part that is made next year: without the day it was seen, today bounds; an expiry it
    /// does not.</summary>
    [Theory]
    [InlineData("tin-wwyy", "2747", "")]
    [InlineData("tin-wwyy", "2726", "")]
    [InlineData("tin-wwyy", "2626", "2026-06-28..2026-07-04")]
    [InlineData("fmvss304-expiry", "06/2031", "2031-06-01..2031-06-30")]
    public void Today_bounds_a_mark_whose_day_of_reading_is_not_known(string convention, string mark, string span)
    {
        var answer = MarkReader.Read(new(mark) { Convention = convention, Today = new(2026, 6, 30) });

        Assert.Equal(span, string.Join(' ', answer.Readings.Select(r => r.Span)));
        Assert.Equal(span.Length == 0, answer.Dropped.Any(d => d.Code == DropCode.NotYetMade));
    }

    /// <summary>"2020" after "not valid after" can be the year or its week 20; good through 31 December or 17 May: the
    /// shorter counts.</summary>
    [Fact]
    public void Of_expiries_the_one_that_ends_first_governs()
    {
        var answer = MarkReader.Read(new("Not valid after 2020") { Observed = new(2026, 6, 30) });

        Assert.Equal(MarkOutcome.Several, answer.Outcome);
        Assert.Equal(new(2020, 5, 17), answer.Governing!.Value.Span.Last);
    }

    /// <summary>A month that lies ahead can only be an expiry, but a misread figure does as well: the words are asked
    /// for.</summary>
    [Fact]
    public void An_expiry_without_its_words_is_asked_about()
    {
        var cylinder = PartCatalogue.BuiltIn.Find("cng-cylinder")!.Mark;

        var answer = MarkReader.Read(
            new("06/2028") { Observed = new(2026, 6, 30), Likely = cylinder.Likely, Possible = cylinder.Possible });

        Assert.Equal(MarkKind.Expiry, Assert.Single(answer.Readings).Kind);
        Assert.Contains(OpenQuestion.MadeOrExpires, answer.Questions);
    }

    private static DateOnly Day(JsonElement reading, string member) =>
        DateOnly.ParseExact(reading.GetProperty(member).GetString()!, "yyyy-MM-dd");
}
