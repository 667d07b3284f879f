using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

public sealed class UndeclaredMarkTests
{
    private static readonly DateOnly Seen = new(2026, 6, 30);

    /// <summary>49 CFR 571.106 S5.2.2(c): on a brake hose sold in the USA the month stands first by law.</summary>
    [Fact]
    public void In_the_usa_the_law_settles_the_order_on_a_brake_hose()
    {
        var question = new MarkQuestion(
            "4/5/87")
        { Likely = ["fmvss106-hose"], Possible = ["dmy", "month-year"], Observed = Seen };

        var open = MarkReader.Read(question);
        var usa = MarkReader.Read(question with { Country = "US" });

        Assert.Equal([DateSpan.Day(new(1987, 4, 5)), DateSpan.Day(new(1987, 5, 4))], open.Readings.Select(r => r.Span));
        Assert.Equal(OpenQuestion.SoldInUsa, open.Questions[0]);
        Assert.Equal(DateSpan.Day(new(1987, 4, 5)), Assert.Single(usa.Readings).Span);
        Assert.Equal(DropCode.LawOfPlace, usa.Dropped.Single(d => d.Span == DateSpan.Day(new(1987, 5, 4))).Code);
    }

    /// <summary>Month 13 is no conforming legend, so the day-first reading of other markets stays.</summary>
    [Fact]
    public void The_law_rules_nothing_out_when_its_own_form_does_not_fit()
    {
        var answer = MarkReader.Read(
            new("13/5/87") { Likely = ["fmvss106-hose"], Possible = ["dmy"], Country = "US", Observed = Seen });

        Assert.Equal(DateSpan.Day(new(1987, 5, 13)), Assert.Single(answer.Readings).Span);
    }

    [Fact]
    public void Whether_the_part_is_original_would_settle_it()
    {
        var question = new MarkQuestion(
            "12 04 92")
        { TryConventions = ["dmy", "mdy"], VehicleBuilt = DateSpan.Month(1992, 6), Observed = Seen };

        var open = MarkReader.Read(question);
        var original = MarkReader.Read(question with { OriginalEquipment = YesNo.Yes });
        var replaced = MarkReader.Read(question with { OriginalEquipment = YesNo.No });

        Assert.Equal([OpenQuestion.OriginalPart, OpenQuestion.DayOrMonthFirst], open.Questions);
        Assert.Single(original.Readings);
        Assert.Equal(2, replaced.Readings.Count);
        Assert.DoesNotContain(OpenQuestion.OriginalPart, replaced.Questions);
    }

    /// <summary>Week 3 of 1994 is no meaning on a seal; the quarter of ISO 2230:2002 5.3(c) is, and a plain month
    /// always.</summary>
    [Fact]
    public void A_kind_of_part_narrows_but_never_excludes()
    {
        var narrowed = MarkReader.Read(new("3/94") { Likely = ["quarter-year"], Observed = Seen });
        var unusual = MarkReader.Read(new("JUN 94") { Likely = ["tin-wwyy"], Possible = ["tin-wwy"], Observed = Seen });

        Assert.Equal(["month:1994-03", "quarter:1994-Q3"], narrowed.Readings.Select(r => r.Canonical));
        Assert.Equal("month:1994-06", Assert.Single(unusual.Readings).Canonical);
        Assert.Contains(unusual.Readings[0].Assumptions, a => a.Contains("no form usual", StringComparison.Ordinal));
    }

    /// <summary>On a harness a bare year may be the end of validity, which is the worse case, so it is read both
    /// ways.</summary>
    [Fact]
    public void Where_expiry_marks_are_met_a_bare_year_is_read_as_one_too()
    {
        var answer = MarkReader.Read(
            new("2020") { Likely = ["sfi-punch"], Possible = ["year", "fia-not-valid-after"], Observed = Seen });

        Assert.Equal([MarkKind.Expiry, MarkKind.Manufacture], answer.Readings.Select(r => r.Kind));
        Assert.Equal(OpenQuestion.MadeOrExpires, answer.Questions[0]);
    }

    /// <summary>Four figures can be year and week, week and year, year and month, month and year, or a day number
    /// (reference marks, section 6).</summary>
    [Fact]
    public void Four_bare_figures_are_read_in_every_way()
    {
        var answer = MarkReader.Read(new("1012") { NotBefore = new(2005, 1, 1), Observed = Seen });

        Assert.Equal(
            [
                "iso:2010-W12", "month:2010-12", "ordinal:2011-012", "tin:2012-W10", "iso:2012-W10", "month:2012-10",
                "ordinal:2021-012"],
            answer.Readings.Select(r => r.Canonical));
        Assert.Contains(OpenQuestion.YearFirstOrLast, answer.Questions);
        Assert.Contains(OpenQuestion.CalendarOrDayNumber, answer.Questions);
    }

    [Fact]
    public void An_unknown_convention_among_those_to_try_is_told_and_the_rest_is_read()
    {
        var answer = MarkReader.Read(new("25 04 92") { TryConventions = ["dmy", "no-such"], Observed = Seen });

        Assert.Single(answer.Readings);
        Assert.Contains(answer.Dropped, d => d is { Convention: "no-such", Code: DropCode.UnknownConvention });
    }

    /// <summary>Our choice: without an earliest day 09 is 2009; with one, or an old car, 1909 stands beside
    /// it.</summary>
    [Fact]
    public void Two_year_figures_go_back_to_1930_unless_an_earliest_day_or_an_older_car_says_more()
    {
        var question = new MarkQuestion("12 04 09") { Convention = "dmy", Observed = Seen };

        var plain = MarkReader.Read(question);
        var bounded = MarkReader.Read(question with { NotBefore = new(1900, 1, 1) });
        var veteran = MarkReader.Read(question with { VehicleBuilt = DateSpan.Year(1912) });

        Assert.Equal([2009], plain.Readings.Select(r => r.Span.First.Year));
        Assert.Contains(plain.Dropped, d => d.Code == DropCode.BeforeDefaultBound);
        Assert.Equal([1909, 2009], bounded.Readings.Select(r => r.Span.First.Year));
        Assert.Equal([1909, 2009], veteran.Readings.Select(r => r.Span.First.Year));
    }

    /// <summary>A mark that can be read and cannot be true is not an unreadable one: it wants another look, not another
    /// convention.</summary>
    [Theory]
    [InlineData("99/2014", "seat-belt", true)]
    [InlineData("31 02 2014", "timing-belt", true)]
    [InlineData("9915", "tyre-road", true)]
    [InlineData("2730", "tyre-road", true)]
    [InlineData("2028", "extinguisher-disposable", true)]
    [InlineData("Jan 2031", "fuel-filter", true)]
    [InlineData("ACME", "fuel-filter", false)]
    [InlineData("DOT AB CD EFGH", "tyre-road", false)]
    [InlineData("3/16", "brake-hose-flexible", false)]
    public void What_cannot_be_is_called_impossible_and_not_unreadable(string mark, string key, bool isImpossible)
    {
        var kind = PartCatalogue.BuiltIn.Find(key)!.Mark;

        var answer = MarkReader.Read(new(mark) { Likely = kind.Likely, Possible = kind.Possible, Observed = Seen });

        Assert.Equal(MarkOutcome.None, answer.Outcome);
        Assert.Equal(isImpossible, answer.IsImpossible);
        Assert.Equal(isImpossible, answer.Reason.StartsWith("What it says is impossible. ", StringComparison.Ordinal));
    }

    [Fact]
    public void Nothing_that_fits_is_an_answer_too()
    {
        var answer = MarkReader.Read(new("GATES OF DAWN") { Observed = Seen });

        Assert.Equal(MarkOutcome.None, answer.Outcome);
        Assert.NotEmpty(answer.Reason);
        Assert.Null(answer.Governing);
    }
}
