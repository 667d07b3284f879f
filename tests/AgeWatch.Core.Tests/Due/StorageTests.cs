using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Time on the shelf counts.</summary>
public sealed class StorageTests
{
    private static readonly PartCatalogue Catalogue = PartCatalogue.BuiltIn;

    /// <summary>
    /// check-11 (R-DGUV): made 2018-06, fitted 2020-09 is 2.25 years of storage, more than 2: reject at fitting.
    /// Fitted by 2020-06 its end is 2024-06, not six years from fitting.
    /// </summary>
    [Fact]
    public void A_hose_stored_more_than_two_years_is_rejected_at_fitting()
    {
        var hose = KindRules.From(Catalogue.Find("abs-pressure-hose")!, Catalogue);
        var made = Mark(DateSpan.Month(2018, 6));

        var late = Ask(hose, Part(made, On(EvidenceKind.Fitted, "2020-09-01")), "2020-09-01");
        var early = Ask(hose, Part(made, On(EvidenceKind.Fitted, "2020-06-01")), "2020-09-01");

        Assert.Equal((DueState.Overdue, Certainty.Certain), (late.State, late.Certainty));
        Assert.Contains(late.Notes, note => note.Code == DueNoteCode.StoredTooLong);
        Assert.NotEqual(DueState.Overdue, early.State);
        Assert.Equal(
            Span("2024-06-01", "2024-06-30"), early.Limits.Single(limit => limit.Level == LimitLevel.ReplaceBy).Due);
    }

    [Fact]
    public void A_storage_that_may_have_been_too_long_is_possibly_due()
    {
        var hose = KindRules.From(Catalogue.Find("abs-pressure-hose")!, Catalogue);

        var answer = Ask(
            hose, Part(Mark(DateSpan.Month(2018, 6)), On(EvidenceKind.Fitted, "2020-06-15")), "2020-09-01");

        Assert.Equal((DueState.Overdue, Certainty.Possible), (answer.State, answer.Certainty));
    }

    /// <summary>The catalogue's note on timing belts: after more than about 2 years on the shelf, count from
    /// manufacture (practice).</summary>
    [Fact]
    public void An_old_stock_timing_belt_counts_from_manufacture()
    {
        var belt = KindRules.From(Catalogue.Find("timing-belt")!, Catalogue);
        var car = Car() with { Usage = new() { DeclaredPerYear = new Distance(1_000) } };

        var old = Ask(belt, Part(Mark(DateSpan.Year(2015)), On(EvidenceKind.Fitted, "2020-05-01")), "2020-06-01", car);
        var fresh = Ask(
            belt, Part(Mark(DateSpan.Year(2019)), On(EvidenceKind.Fitted, "2020-05-01")), "2020-06-01", car);

        Assert.Equal((DueState.Overdue, Span("2020-01-01", "2020-12-31")), (old.State, old.Due!.Value));
        Assert.Contains(fresh.Limits, limit => limit is { Level: LimitLevel.ReplaceBy, Measure: LimitMeasure.Age }
            && limit.Due == DateSpan.Day(Day("2025-05-01")));
    }

    [Fact]
    public void New_old_stock_is_old_rubber() =>
        Assert.Equal(
            DueState.Overdue,
            Ask(BrakeHose, Part(Mark(DateSpan.Year(2014)), On(EvidenceKind.Fitted, "2026-01-01")), "2026-01-02").State);
}
