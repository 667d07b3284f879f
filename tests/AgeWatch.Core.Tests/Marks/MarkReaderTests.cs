using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

public sealed class MarkReaderTests
{
    private static readonly DateOnly Seen = new(2026, 6, 30);

    /// <summary>
    /// ISO 2230:2002 5.3(c): 3/94 is July to September 1994. Nothing on the part says so, hence March 1994 (common
    /// practice) and week 3 stand beside it and the earliest governs.
    /// </summary>
    [Fact]
    public void Three_over_ninety_four_is_a_week_a_month_or_a_quarter()
    {
        var answer = MarkReader.Read(new("3/94") { Observed = Seen });

        Assert.Equal(MarkOutcome.Several, answer.Outcome);
        Assert.Equal(["iso:1994-W03", "month:1994-03", "quarter:1994-Q3"], answer.Readings.Select(r => r.Canonical));
        Assert.Equal(new DateSpan(new(1994, 1, 17), new(1994, 1, 23)), answer.Governing!.Value.Span);
    }

    /// <summary>NHTSA aiam2062 quotes 571.106 S5.2.2(c): 10/1/74 is 1 October 1974. Outside that rule 10 January fits
    /// too.</summary>
    [Fact]
    public void The_brake_hose_rule_puts_the_month_first()
    {
        var byRule = MarkReader.Read(new("10/1/74") { Convention = "fmvss106-hose", Observed = Seen });
        var open = MarkReader.Read(new("10/1/74") { TryConventions = ["dmy", "mdy"], Observed = Seen });

        Assert.Equal(DateSpan.Day(new(1974, 10, 1)), Assert.Single(byRule.Readings).Span);
        Assert.Equal(
            [DateSpan.Day(new(1974, 1, 10)), DateSpan.Day(new(1974, 10, 1))], open.Readings.Select(r => r.Span));
    }

    /// <summary>49 CFR 574.5: week 36 of 2023 and, with three figures, week 34 of 1979, 1989 or 1999. Starts by hand
    /// from the first Sunday.</summary>
    [Theory]
    [InlineData("3623", "tin-wwyy", "2023-09-03")]
    [InlineData("349", "tin-wwy", "1979-08-26")]
    public void The_earliest_week_of_a_tyre_governs(string mark, string convention, string first) =>
        Assert.Equal(
            DateOnly.ParseExact(first, "yyyy-MM-dd"),
            MarkReader.Read(new(mark) { Convention = convention, Observed = Seen }).Governing!.Value.Span.First);

    [Theory]
    [InlineData("25 04 92", "mdy", DropCode.MonthOutOfRange)]
    [InlineData("31 04 92", "dmy", DropCode.NoSuchDate)]
    [InlineData("5/94", "quarter-year", DropCode.QuarterOutOfRange)]
    [InlineData("54/94", "week-year-iso", DropCode.WeekOutOfRange)]
    [InlineData("hello", "tin-wwyy", DropCode.Malformed)]
    [InlineData("400", "tin-wwyy", DropCode.Malformed)]
    [InlineData("", "tin-wwyy", DropCode.Empty)]
    [InlineData("1507", "no-such", DropCode.UnknownConvention)]
    [InlineData("15\u00007", "tin-wwyy", DropCode.HostileText)]
    [InlineData("15\ufffd7", "tin-wwyy", DropCode.HostileText)]
    [InlineData("????", "tin-wwyy", DropCode.TooManyUnreadable)]
    public void An_unreadable_mark_is_an_answer_with_a_reason(string mark, string convention, DropCode code)
    {
        var answer = MarkReader.Read(new(mark) { Convention = convention, Observed = Seen });

        Assert.Equal(MarkOutcome.None, answer.Outcome);
        Assert.Equal(code, answer.Dropped[0].Code);
        Assert.NotEmpty(answer.Reason);
    }

    [Fact]
    public void Half_a_letter_is_refused() =>
        Assert.Equal(DropCode.HostileText, MarkReader.Read(new("15\ud80007")).Dropped[0].Code);

    /// <summary>Design rule: readings wholly outside what is possible are dropped with their reason, never
    /// clipped.</summary>
    [Fact]
    public void Every_dropped_reading_says_why()
    {
        var question = new MarkQuestion("12 04 92")
        {
            TryConventions = ["dmy", "mdy"],
            Observed = Seen,
            NotBefore = new(1950, 1, 1),
            VehicleBuilt = new(new(1992, 6, 1), new(1992, 6, 15)),
            OriginalEquipment = YesNo.Yes,
        };

        var answer = MarkReader.Read(question);

        Assert.Equal(DateSpan.Day(new(1992, 4, 12)), Assert.Single(answer.Readings).Span);
        Assert.Contains(answer.Dropped, d =>
            d is { Convention: "mdy", Code: DropCode.MadeAfterCar } && d.Span == DateSpan.Day(new(1992, 12, 4)));
        Assert.Contains(answer.Dropped, d =>
            d is { Convention: "dmy", Code: DropCode.MadeAfterCar } && d.Span == DateSpan.Day(new(2092, 4, 12)));
    }

    [Fact]
    public void A_reading_that_touches_a_bound_is_kept_whole()
    {
        var answer = MarkReader.Read(new("2626") { Convention = "tin-wwyy", Observed = new(2026, 6, 28) });

        Assert.Equal(new DateSpan(new(2026, 6, 28), new(2026, 7, 4)), Assert.Single(answer.Readings).Span);
    }

    [Theory]
    [InlineData(" 15 07 ")]
    [InlineData("15.07")]
    [InlineData("15/07")]
    [InlineData("15\u201307")]
    [InlineData("1507\u200b")]
    [InlineData("\u0661\u0665\u0660\u0667")]
    [InlineData("\uff11\uff15\uff10\uff17")]
    [InlineData("1 5 0 7")]
    [InlineData("DOT 1507")]
    public void Text_is_read_as_people_type_it(string mark) =>
        Assert.Equal(
            "tin:2007-W15",
            Assert.Single(MarkReader.Read(new(mark) { Convention = "tin-wwyy", Observed = Seen }).Readings).Canonical);

    [Fact]
    public void A_letter_O_for_a_zero_is_reported()
    {
        var answer = MarkReader.Read(new("15o7") { Convention = "tin-wwyy", Observed = Seen });

        var reading = Assert.Single(answer.Readings);
        Assert.Equal("tin:2007-W15", reading.Canonical);
        Assert.Contains(reading.Assumptions, a => a.Contains("letter O", StringComparison.Ordinal));
    }

    /// <summary>By hand: 31?7 under WWYY can be 3107 ... 3197; seen in 2026 and made since 1971 that is 2007, 2017,
    /// 1977, 1987, 1997.</summary>
    [Fact]
    public void A_question_mark_is_completed_in_every_way()
    {
        var answer = MarkReader.Read(new("31?7") { Convention = "tin-wwyy", Observed = Seen });

        Assert.Equal([1977, 1987, 1997, 2007, 2017], answer.Readings.Select(r => r.Span.First.Year));
    }

    [Fact]
    public void Words_on_the_part_make_it_an_expiry_that_may_lie_ahead()
    {
        var answer = MarkReader.Read(new("Use before June 2031") { Convention = "month-year", Observed = Seen });

        var reading = Assert.Single(answer.Readings);
        Assert.Equal(MarkKind.Expiry, reading.Kind);
        Assert.Equal(DateSpan.Month(2031, 6), reading.Span);
    }

    [Fact]
    public void Every_example_on_the_reference_page_reads_as_it_says()
    {
        foreach (var convention in MarkConventions.All)
        {
            foreach (var example in convention.About.Examples)
            {
                var answer = MarkReader.Read(new(example.Text) { Convention = convention.Key, Observed = Seen });
                Assert.Equal(example.Means.Order(), answer.Readings.Select(r => r.Span));
            }
        }
    }

    [Fact]
    public void Every_convention_takes_its_first_example_apart()
    {
        foreach (var convention in MarkConventions.All)
        {
            Assert.Equal(convention.About.Examples[0].Text, string.Concat(convention.Parts.Select(part => part.Text)));
            Assert.Contains(convention.Parts, part => part.Means is not null);
        }
    }

    /// <summary>The reader keeps its room from mark to mark; a refusal must name the convention asked for, not the one
    /// before.</summary>
    [Fact]
    public void A_refusal_names_its_own_convention_whatever_was_read_before()
    {
        MarkReader.Read(new("B9") { Convention = "battery-letter-digit", Observed = Seen });

        var answer = MarkReader.Read(new("1X07") { Convention = "tin-wwyy", Observed = Seen });

        Assert.Equal([new DroppedReading("tin-wwyy", null, DropCode.Malformed)], answer.Dropped);
    }
}
