using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>49 CFR 580.5(e)(2), "in excess of the designed mechanical odometer limit"; totals by hand.</summary>
public sealed class OdometerRolloverTests
{
    [Fact]
    public void A_reading_above_the_last_total_can_still_have_turned_over() =>
        Assert.Equal([60_000, 160_000], OdometerRollover.Totals(60_000, 5, 50_000, 200_000).Totals);

    [Fact]
    public void The_same_reading_is_the_same_total() =>
        Assert.Equal(0, OdometerRollover.Totals(50_000, 5, 50_000, 99_999).MinimumTravelled);

    [Fact]
    public void No_total_means_another_instrument_or_a_wrong_bound()
    {
        var totals = OdometerRollover.Totals(12, 5, 99_990, 100_000);

        Assert.Empty(totals.Totals);
        Assert.Null(totals.MinimumTravelled);
    }

    [Fact]
    public void The_list_has_an_end()
    {
        var totals = OdometerRollover.Totals(1, 3, 0, long.MaxValue);

        Assert.Equal(OdometerRollover.MostTotals, totals.Totals.Count);
        Assert.True(totals.MoreLeftOut);
    }

    [Theory]
    [InlineData(100_000, 5)]
    [InlineData(-1, 5)]
    [InlineData(1, 2)]
    public void A_reading_that_the_drums_cannot_show_is_a_wrong_call(long reading, int drums)
    {
        Assert.False(OdometerRollover.IsPossible(reading, drums));
        Assert.Throws<ArgumentOutOfRangeException>(() => OdometerRollover.Totals(reading, drums, 0, 1));
    }
}
