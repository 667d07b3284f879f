using AgeWatch.Core.Due;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Conflicting evidence is shown, the earliest governs, and nothing is deleted.</summary>
public sealed class DisagreementTests
{
    [Fact]
    public void Two_marks_that_cannot_both_be_right_are_named_and_the_earliest_governs()
    {
        var old = Mark(Span("2009-04-01", "2009-04-30")) with { Text = "04/09" };
        var young = Mark(Span("2019-04-01", "2019-04-30")) with { Text = "04/19" };

        var answer = Ask(BrakeHose, Part(old, young), "2020-01-01");

        Assert.Equal(Span("2009-04-01", "2019-04-30"), answer.Born.Span);
        Assert.Equal(2, answer.Born.Readings.Count);
        Assert.Equal(young, answer.Notes.Single(note => note.Code == DueNoteCode.EvidenceDisagrees).Evidence);
        Assert.Contains(
            "The evidence disagrees: the mark \"04/19\" says 2019-04-01 to 2019-04-30, another mark does not. All of "
                + "it is kept, and the earliest governs.",
            answer.Reasons);
        Assert.Equal(DueState.Overdue, answer.State);
    }

    [Fact]
    public void The_order_in_which_they_were_noted_decides_nothing()
    {
        var old = Mark(Span("2009-04-01", "2009-04-30"));
        var young = Mark(Span("2019-04-01", "2019-04-30"));

        Assert.Equal(
            Ask(BrakeHose, Part(old, young), "2020-01-01").Born.Span,
            Ask(BrakeHose, Part(young, old), "2020-01-01").Born.Span);
        Assert.Contains(Ask(BrakeHose, Part(young, old), "2020-01-01").Notes, note =>
            note.Code == DueNoteCode.EvidenceDisagrees);
    }

    [Fact]
    public void Marks_that_share_a_day_agree() =>
        Assert.DoesNotContain(
            Ask(
                BrakeHose, Part(Mark(Span("2019-01-01", "2019-12-31")), Mark(Span("2019-12-31", "2020-01-06"))),
                "2020-06-01").Notes,
            note => note.Code == DueNoteCode.EvidenceDisagrees);

    /// <summary>An invoice of 2015 for a hose whose mark says 2019: the paper governs, the mark is kept and
    /// named.</summary>
    [Fact]
    public void A_mark_younger_than_a_paper_disagrees_with_it()
    {
        var answer = Ask(
            BrakeHose, Part(Mark(Span("2019-04-01", "2019-04-30")), On(EvidenceKind.Document, "2015-06-01")),
            "2020-01-01");

        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.EvidenceDisagrees);
        Assert.Equal(Span("2010-06-01", "2015-06-01"), answer.Born.Span);
        Assert.Single(answer.Born.Dropped);
    }
}
