using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>
/// Sources: 49 CFR 574.5(a) for the counts of symbols, (b)(3) for the week, 64 FR 36807 for three figures until July
/// 2000. First days of years by the first Sunday: 2015-01-04, 1979-01-07, 1989-01-01, 1999-01-03.
/// </summary>
public sealed class TyreMarkTests
{
    private static readonly DateOnly Seen = new(2026, 6, 30);

    [Theory]
    [InlineData("DOT 1AB CDEFGH 0115", "tin:2015-W01")]
    [InlineData("DOT1ABCDEFGH0115", "tin:2015-W01")]
    [InlineData("dot 1ab cdefgh0115", "tin:2015-W01")]
    [InlineData("D.O.T. 1AB CDEFGH 0115", "tin:2015-W01")]
    [InlineData("E4 0212345 DOT 1AB CDEFGH 0115", "tin:2015-W01")]
    [InlineData("1AB-CDEFGH-0115", "tin:2015-W01")]
    [InlineData("DOT 1AB CDEFGH o115", "tin:2015-W01")]
    [InlineData("DOT ?A? ?DEFGH 0115", "tin:2015-W01")]
    [InlineData("DOT 1AB 0115", "tin:2015-W01")]
    [InlineData("DOT-R 1AB 0115", "tin:2015-W01")]
    [InlineData("DOT-R 1AB0115", "tin:2015-W01")]
    [InlineData("DOT 0115", "tin:2015-W01")]
    [InlineData("DOT AB CD EFGH 0109", "tin:2009-W01")]
    [InlineData("DOT AB CD EFG 409", "tin:1979-W40 tin:1989-W40 tin:1999-W40")]
    [InlineData("DOT AB CD EFG 409\u25C4", "tin:1999-W40")]
    [InlineData("DOTABCDEFG409", "tin:1979-W40 tin:1989-W40 tin:1999-W40")]
    [InlineData("DOT AB CD EFGH", "")]
    [InlineData("DOT 1AB CDEFGH", "")]
    [InlineData("DOT 1AB CDEFGH 5415", "")]
    [InlineData("DOT 1ABC DEFGHJ 12345 0115", "")]
    public void A_whole_number_is_read_by_its_last_group(string mark, string expected)
    {
        var answer = MarkReader.Read(new(mark) { Convention = "tin-full", Observed = Seen });

        Assert.Equal(expected, string.Join(' ', answer.Readings.Select(r => r.Canonical)));
    }

    [Fact]
    public void A_number_without_date_sends_to_the_other_sidewall() =>
        Assert.Equal(
            [OpenQuestion.OtherSidewall], MarkReader.Read(new("DOT AB CD EFGH") { Convention = "tin-full" }).Questions);

    /// <summary>Seven symbols: 1AB + 0115 is a retread's number, AB12 is plant and size + 115 before 2000. By hand:
    /// both stand.</summary>
    [Fact]
    public void Without_gaps_seven_symbols_can_end_in_three_or_four_figures()
    {
        var answer = MarkReader.Read(new("DOT1AB0115") { Convention = "tin-full", Observed = Seen });

        Assert.Equal(
            ["tin:1975-W11", "tin:1985-W11", "tin:1995-W11", "tin:2015-W01"], answer.Readings.Select(r => r.Canonical));
        Assert.Contains(OpenQuestion.GroupGaps, answer.Questions);
    }

    /// <summary>Day, week, year digit ended by July 2000 (NHTSA nht73-3.16 is of 1973), so it does not make a tyre of
    /// 2012 one of 1972.</summary>
    [Fact]
    public void Four_figures_of_today_are_week_and_year_and_the_rare_form_is_shown_as_remote()
    {
        var answer = MarkReader.Read(new("2512")
        {
            Likely = ["tin-wwyy", "tin-wwy", "tin-full"],
            Possible = ["tin-dwwy"],
            Observed = Seen,
        });

        Assert.Equal("tin:2012-W25", Assert.Single(answer.Readings).Canonical);
        Assert.Equal([1972, 1982, 1992], answer.Remote.Where(far => far.Bound.Rule == AgeBoundRule.RareForm)
            .Select(far => far.Reading.Span.First.Year));
    }

    /// <summary>Four figures before 1999 are unusual themselves, so the rare form keeps its place beside
    /// them.</summary>
    [Fact]
    public void Four_figures_of_the_nineties_leave_the_rare_form_standing()
    {
        var answer = MarkReader.Read(new("3197") { Likely = ["tin-wwyy"], Possible = ["tin-dwwy"], Observed = Seen });

        Assert.Equal(
            ["tin:1977-W19", "tin:1987-W19", "tin:1997-W19", "tin:1997-W31"], answer.Readings.Select(r => r.Canonical));
    }

    [Theory]
    [InlineData("409", YesNo.Unknown, new[] { 1979, 1989, 1999 })]
    [InlineData("409", YesNo.No, new[] { 1979, 1989, 1999 })]
    [InlineData("409", YesNo.Yes, new[] { 1999 })]
    [InlineData("409<", YesNo.Unknown, new[] { 1999 })]
    [InlineData("409 \u25B2", YesNo.Unknown, new[] { 1999 })]
    [InlineData("409 triangle", YesNo.Unknown, new[] { 1999 })]
    public void A_triangle_means_the_nineties_and_its_absence_means_nothing(string mark, YesNo triangle, int[] years)
    {
        var answer = MarkReader.Read(new(mark) { Convention = "tin-wwy", Triangle = triangle, Observed = Seen });

        Assert.Equal(years, answer.Readings.Select(r => r.Span.First.Year));
    }

    [Fact]
    public void Three_figures_ask_for_the_triangle() =>
        Assert.Equal(OpenQuestion.Triangle, MarkReader.Read(new("409") { Observed = Seen }).Questions[0]);

    /// <summary>UN R54 3.1.8 does not define week 1, so the US rule is an assumption elsewhere.</summary>
    [Fact]
    public void Outside_the_usa_the_week_rule_is_said_to_be_an_assumption()
    {
        var here = MarkReader.Read(new("1507") { Convention = "tin-wwyy", Country = "US", Observed = Seen });
        var there = MarkReader.Read(new("1507") { Convention = "tin-wwyy", Country = "DE", Observed = Seen });

        Assert.Empty(here.Readings[0].Assumptions);
        Assert.Single(there.Readings[0].Assumptions);
    }

    /// <summary>Common practice for European tyres before 1980.</summary>
    [Theory]
    [InlineData("III/78", "quarter:1978-Q3")]
    [InlineData("iv 79", "quarter:1979-Q4")]
    [InlineData("\u2162/78", "quarter:1978-Q3")]
    [InlineData("II-1976", "quarter:1976-Q2")]
    [InlineData("IIII/78", "quarter:1978-Q4")]
    [InlineData("V/78", "")]
    [InlineData("II/84", "")]
    public void Roman_quarters(string mark, string expected) =>
        Assert.Equal(
            expected,
            string.Join(' ', MarkReader.Read(new(mark) { Convention = "tyre-roman-quarter", Observed = Seen })
                .Readings.Select(r => r.Canonical)));
}
