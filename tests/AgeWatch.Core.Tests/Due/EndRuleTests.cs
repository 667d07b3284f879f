using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

public sealed class EndRuleTests
{
    /// <summary>check-5 (R-FIA8853): made January 2015, valid to 31 December of the fifth year after,
    /// 2020-12-31.</summary>
    [Theory]
    [InlineData("2015-01")]
    [InlineData("2015-12")]
    public void A_year_end_rule_ends_with_the_fifth_year_after_the_year_made(string made)
    {
        var month = DateSpan.Month(2015, int.Parse(made[5..]));
        var rule = Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 60, Tag.Standard, "R-FIA8853", EndRule.YearEnd);

        Assert.Equal(DueState.DueSoon, Ask(Kind(rule), Part(Mark(month)), "2020-12-31").State);
        Assert.Equal((DueState.StopUse, Certainty.Certain), Standing(Ask(Kind(rule), Part(Mark(month)), "2021-01-01")));
    }

    /// <summary>check-6 (R-SFI): made March 2016, two years: March 2018, or 2018-12-31 under organisers who use the
    /// year's end.</summary>
    [Fact]
    public void A_month_rule_ends_in_its_month_and_the_organisers_rule_with_the_year()
    {
        var harness = Part(Mark(DateSpan.Month(2016, 3)));

        Assert.Equal(Span("2018-03-01", "2018-03-31"), Due(EndRule.Day));
        Assert.Equal(DateSpan.Day(Day("2018-04-01")), Due(EndRule.MonthEnd));
        Assert.Equal(DateSpan.Day(Day("2019-01-01")), Due(EndRule.YearEnd));

        DateSpan Due(EndRule rule) =>
            Ask(
                Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 24, Tag.Standard, "R-SFI", rule)), harness,
                "2017-01-01").Due!.Value;
    }

    private static (DueState, Certainty) Standing(DueAnswer answer) => (answer.State, answer.Certainty);
}
