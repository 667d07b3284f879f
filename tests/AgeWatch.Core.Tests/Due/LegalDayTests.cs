using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>
/// A legal clock whose own day is not on record. The numbers are those of the laws: CNG cylinders 48 months to the
/// month end (R-R110), LPG tanks 120 months to the day (R-R67IT). The van was built and registered in 1995.
/// </summary>
public sealed class LegalDayTests
{
    private static readonly VehicleFacts Van = new()
    {
        Built = Span("1995-11-01", "1995-11-30"),
        RegisteredOn = Day("1995-12-01"),
        Country = "IT",
    };

    private static readonly Evidence MadeInJune2009 = Mark(DateSpan.Month(2009, 6));

    /// <summary>By hand: 1 and 30 June 2009 + 48 months = 1 and 30 June 2013; to the end of that month, so reached on 1
    /// July.</summary>
    [Fact]
    public void A_cylinder_younger_than_the_van_counts_from_its_birth()
    {
        var answer = Cylinder(Part(MadeInJune2009), "2013-06-30");

        Assert.Equal(DateSpan.Day(Day("2013-07-01")), Law(answer).Due);
        Assert.NotEqual(DueState.StopUse, answer.State);
        Assert.Contains(
            "The vehicle's registration of 1995-12-01 is not the part's own legal day; without that it counts from "
                + "2009-06-01, the earliest day it can have been made.",
            answer.Reasons);
        Assert.Contains("When was its installation tested?", answer.Questions);
    }

    /// <summary>By hand: 1 June 2009 + 120 months = 1 June 2019; fitted on 15 March 2010 it can have been tested as
    /// late as that: 15 March 2020.</summary>
    [Fact]
    public void A_tank_made_long_before_it_was_fitted_may_have_been_tested_only_then()
    {
        var answer = Tank(Part(MadeInJune2009, On(EvidenceKind.Fitted, "2010-03-15")), "2019-06-01");

        Assert.Equal(
            (DueState.StopUse, Certainty.Possible, Span("2019-06-01", "2020-03-15")),
            (answer.State, answer.Certainty, Law(answer).Due!.Value));
    }

    /// <summary>By hand: bought new on 15 March 2010 without a mark it may have lain 60 months: 15 March 2005 + 120
    /// months.</summary>
    [Fact]
    public void Without_a_mark_the_shelf_allowance_counts()
    {
        var answer = Tank(Part(On(EvidenceKind.Document, "2010-03-15")), "2015-03-15");

        Assert.Equal((DueState.StopUse, Day("2015-03-15")), (answer.State, Law(answer).Due!.Value.First));
    }

    /// <summary>By hand: its mark says 1995, so it can have been on the van from the first: 1 December 1995 + 120
    /// months, at the latest 31 December.</summary>
    [Fact]
    public void A_part_that_may_be_as_old_as_the_registration_counts_from_it()
    {
        Assert.Equal(Span("2005-12-01", "2005-12-31"), Law(Tank(Part(Mark(DateSpan.Year(1995))), "2026-01-01")).Due);
    }

    /// <summary>By hand: 1 December 1995 + 120 months.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void An_original_and_an_undated_part_count_from_the_registration(bool original)
    {
        var answer = Tank(Part() with { Original = original }, "2026-01-01");

        Assert.Equal(DateSpan.Day(Day("2005-12-01")), Law(answer).Due);
        Assert.DoesNotContain(answer.Notes, note => note.Code == DueNoteCode.LegalDayNotKnown);
    }

    /// <summary>By hand: a van registered in 2015 makes no tank younger that was made in June 2009: 1 June 2019, at the
    /// latest 30 June.</summary>
    [Fact]
    public void The_registration_of_its_next_van_starts_nothing()
    {
        var next = Van with { Built = Span("2015-01-01", "2015-01-31"), RegisteredOn = Day("2015-02-01") };
        var part = Part(MadeInJune2009, On(EvidenceKind.Fitted, "2020-05-01"))
            with
        { Stays = [new(Day("2009-09-01"), Day("2020-04-01"), null, VehicleBuilt: Van.Built)] };

        Assert.Equal(Span("2019-06-01", "2019-06-30"), Law(Tank(part, "2026-01-01", next)).Due);
    }

    [Fact]
    public void Moved_and_undated_it_is_unknown_and_never_good()
    {
        var next = Van with { Built = Span("2025-01-01", "2025-01-31"), RegisteredOn = Day("2025-02-01") };
        var part = Part(On(EvidenceKind.Fitted, "2025-05-01")) with
        {
            Stays = [
            new(null, Day("2025-04-01"), null)]
        };

        Assert.Equal(DueState.Unknown, Tank(part, "2026-01-01", next).State);
    }

    /// <summary>14 CFR 43.10's idea: taken off and put back on the same van nothing changes. By hand: 1 December 1995 +
    /// 120 months.</summary>
    [Fact]
    public void Taken_off_and_put_back_it_counts_from_the_registration()
    {
        var part = Part(On(EvidenceKind.Fitted, "2001-05-02")) with
        {
            Original = true,
            Stays = [new(null, Day("2001-05-01"), null, VehicleBuilt: Van.Built, OnThisVehicle: true)],
        };

        Assert.Equal(DateSpan.Day(Day("2005-12-01")), Law(Tank(part, "2026-01-01")).Due);
    }

    private static AssessedLimit Law(DueAnswer answer) => Assert.Single(answer.Limits, limit => limit.Tag == Tag.Law);

    private static DueAnswer Cylinder(ComponentFacts part, string asOf) => Ask(Of("cng-cylinder"), part, asOf, Van);

    private static DueAnswer Tank(ComponentFacts part, string asOf, VehicleFacts? van = null) =>
        Ask(Of("lpg-tank"), part, asOf, van ?? Van);

    private static KindRules Of(string key) => KindRules.From(PartCatalogue.BuiltIn.Find(key)!, PartCatalogue.BuiltIn);
}
