using AgeWatch.Core.Due;

namespace AgeWatch.Core.Tests.Due;

/// <summary>A part that goes to another vehicle must not look younger for it. By hand: the car it was first on was
/// built in May 1970.</summary>
public sealed class MoveTests
{
    private static readonly DateSpan First = Given.Span("1970-05-01", "1970-05-31");

    private static readonly Evidence FittedHere = Given.On(EvidenceKind.Fitted, "2024-05-01");

    [Fact]
    public void An_undated_part_stays_as_old_as_the_car_it_was_first_on()
    {
        var born = Born(Given.Part(FittedHere) with { Stays = [On(null)] });

        Assert.Equal((First, EvidenceKind.Presumption), (born.Span, born.Basis));
    }

    [Fact]
    public void An_original_part_stays_original_to_the_car_it_came_from()
    {
        var born = Born(Given.Part(FittedHere) with { Original = true, Stays = [On("1970-05-20")] });

        Assert.Equal(First, born.Span);
    }

    [Fact]
    public void An_original_parts_mark_is_held_against_the_car_it_came_from()
    {
        var mark = Given.Mark(Given.Span("1970-01-01", "1970-01-31"), Given.Span("1980-01-01", "1980-01-31"));

        var born = Born(Given.Part(mark, FittedHere) with { Original = true, Stays = [On("1970-05-20")] });

        Assert.Equal(Given.Span("1970-01-01", "1970-01-31"), born.Span);
    }

    [Fact]
    public void Where_that_car_has_no_year_nothing_is_known() =>
        Assert.Null(Born(Given.Part(FittedHere) with { Stays = [On(null, built: null)] }).Span);

    /// <summary>Brake hose, common practice: no storage limit, so five years of shelf before the day it was first
    /// fitted.</summary>
    [Fact]
    public void A_known_first_fitting_dates_it_wherever_it_goes() =>
        Assert.Equal(
            Given.Span("2005-04-02", "2010-04-02"),
            Born(Given.Part(FittedHere) with { Stays = [On("2010-04-02")] }).Span);

    [Fact]
    public void A_paper_older_than_the_move_still_counts()
    {
        var part = Given.Part(
            Given.On(EvidenceKind.Document, "2012-03-01"), FittedHere) with
        { Stays = [On(null)] };

        Assert.Equal(Given.Span("2007-03-01", "2012-03-01"), Born(part).Span);
    }

    /// <summary>
    /// By hand: 50 of 100 hours ran on the other car, so 50 are left at the 500 that this car's meter showed: due at
    /// 550. From 530 on
    /// 2026-03-02 to 560 on 2026-05-01 are 60 days; 20 of the 30 hours take 40 of them.
    /// </summary>
    [Fact]
    public void Hours_count_from_the_meter_of_the_present_car_and_what_it_ran_before()
    {
        var part = Given.Part(new Evidence
        {
            Kind = EvidenceKind.Fitted,
            On = Given.Day("2026-01-01"),
            Hours = 500
        }) with
        {
            Stays = [On("2010-04-02") with { Hours = 50 }],
        };
        var car = Given.Car() with
        {
            HoursReadings = [
            new(Given.Day("2026-03-02"), 530), new(Given.Day("2026-05-01"), 560)]
        };
        var kind = Given.Kind(Limit.ByHours(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 100, Tag.Maker));

        var governing = Given.Ask(kind, part, "2026-11-25", car).Governing!;

        Assert.Equal((550m, Given.Day("2026-04-11")), (governing.ReachedAt, governing.Due!.Value.First));
    }

    private static Birth Born(ComponentFacts part) => Given.Ask(Given.BrakeHose, part, "2026-11-25").Born;

    private static Stay On(string? fitted, string? built = "1970") => new(
        fitted is null
            ? null
            : Given.Day(fitted), Given.Day("2020-06-01"), null, VehicleBuilt: built is null
            ? null
            : First);
}
