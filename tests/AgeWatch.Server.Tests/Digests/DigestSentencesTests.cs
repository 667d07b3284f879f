using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Digests;

namespace AgeWatch.Server.Tests.Digests;

public sealed class DigestSentencesTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);
    private static readonly DateSpan Made2017 = DateSpan.Month(2017, 10);

    /// <summary>By hand: October 2017 + 72 months = October 2023, so in November 2026 even the latest day has
    /// come.</summary>
    [Fact]
    public void An_overdue_part_is_to_be_replaced()
    {
        var line = Line(Hose(LimitLevel.ReplaceBy, 72));

        Assert.Equal("Replace the brake hose, flexible (front left) of Blue van.", line.Action);
        Assert.Equal("limit of 72 months from manufacture, reached on 2023-10-01.", line.Why);
        Assert.Equal((DueState.Overdue, Certainty.Certain, Tag.Practice), (line.State, line.Certainty, line.Tag));
        Assert.Contains("2017-10-01", line.Evidence, StringComparison.Ordinal);
        Assert.Equal(new DateSpan(new(2023, 10, 1), new(2023, 10, 31)), line.Due);
        Assert.Equal(Made2017, line.Life!.Born);
    }

    [Fact]
    public void Past_stop_use_it_is_not_to_be_used_again()
    {
        var line = Line(Hose(LimitLevel.StopUse, 72));

        Assert.Equal("Replace the brake hose, flexible (front left) of Blue van before its next use.", line.Action);
        Assert.Equal("stop-use limit of 72 months from manufacture, reached on 2023-10-01.", line.Why);
    }

    /// <summary>By hand: made between October 2017 and October 2023; + 72 months from the earliest is past, from the
    /// latest is October 2029.</summary>
    [Fact]
    public void What_is_only_possibly_overdue_can_be_disproved()
    {
        var line = Line(Hose(LimitLevel.ReplaceBy, 72, new DateSpan(new(2017, 10, 1), new(2023, 10, 1))));

        Assert.Equal(
            "Replace the brake hose, flexible (front left) of Blue van, or find proof that it is younger.",
            line.Action);
        Assert.Equal("limit of 72 months from manufacture, reached on 2023-10-01 at the earliest.", line.Why);
        Assert.Equal(Certainty.Possible, line.Certainty);
    }

    /// <summary>By hand: October 2017 + 110 months = December 2026, inside the 60 days of warning.</summary>
    [Fact]
    public void What_is_due_soon_is_planned()
    {
        var line = Line(Hose(LimitLevel.ReplaceBy, 110));

        Assert.Equal(
            "Plan to replace the brake hose, flexible (front left) of Blue van before 2026-12-01.", line.Action);
        Assert.Equal("limit of 110 months from manufacture, reached on 2026-12-01 at the earliest.", line.Why);
    }

    [Fact]
    public void What_wants_a_look_gets_one() =>
        Assert.Equal(
            "Inspect the brake hose, flexible (front left) of Blue van.",
            Line(Hose(LimitLevel.InspectFrom, 72)).Action);

    [Fact]
    public void What_is_unknown_asks_its_question()
    {
        var line = Line(Hose(LimitLevel.ReplaceBy, 72, made: null));

        Assert.Equal("Find out how old the brake hose, flexible (front left) of Blue van is.", line.Action);
        Assert.Contains("mark", line.Question, StringComparison.Ordinal);
        Assert.Null(line.Tag);
        Assert.Null(line.Life);
        Assert.Null(line.Due);
    }

    [Fact]
    public void Fluids_are_renewed_and_parts_on_the_shelf_are_said_to_be_there()
    {
        var coolant = new DigestItem(
            Guid.NewGuid(),
            PartCatalogue.BuiltIn.All.Single(k => k.Key == "coolant-organic"),
            Assess(
                new ServiceTaskFacts { Done = [new DoneEvent { On = new(2010, 5, 1) }] },
                Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Service, 60, Tag.Practice)),
            "Blue van",
            Guid.NewGuid());

        Assert.Equal("Renew the coolant, organic-acid long life of Blue van.", Line(coolant).Action);
        Assert.Equal(
            "Replace the brake hose, flexible (front left) on the shelf.",
            Line(Hose(LimitLevel.ReplaceBy, 72) with { Vehicle = null, VehicleId = null }).Action);
    }

    [Fact]
    public void A_deferral_that_ends_asks_for_a_new_decision()
    {
        var item = Hose(
            LimitLevel.ReplaceBy, 72, Made2017,
            new Deferral { Reason = "parts on order", Person = "Bob", UntilOn = new(2026, 12, 1) });

        var line = DigestSentences.Line(item, TellingReason.DeferralEnding, DistanceUnit.Mile, null);

        Assert.Equal(
            "Decide again on the brake hose, flexible (front left) of Blue van: the deferral ends on 2026-12-01.",
            line.Action);
        Assert.Equal(new DateOnly(2026, 12, 1), line.DeferredUntil);
        Assert.Equal(new DateOnly(2026, 12, 1), item.Subject.DeferredUntil);
    }

    /// <summary>The publication stands beside the tag by its id in the catalogue; a number without one says so by its
    /// tag alone.</summary>
    [Theory]
    [InlineData(Tag.Standard, "R-FMVSS106", "published standard (R-FMVSS106)")]
    [InlineData(Tag.Law, "Road law 12, section 3", "law (Road law 12, section 3)")]
    [InlineData(Tag.Practice, null, "common practice, no source")]
    public void A_number_names_its_source(Tag tag, string? reference, string expected)
    {
        var answer = Assess(
            new ComponentFacts(), Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 72, tag, reference),
            DateSpan.Year(1987));
        var line = Line(new DigestItem(
            Guid.NewGuid(), PartCatalogue.BuiltIn.Find("brake-hose-flexible")!, answer, "Blue van", Guid.NewGuid()));

        Assert.Contains(("Number from", expected), DigestWords.Facts(line));
    }

    [Fact]
    public void Every_part_kind_makes_a_sentence_that_names_it()
    {
        foreach (var kind in PartCatalogue.BuiltIn.All)
        {
            DueSubject facts = kind.Form == PartForm.ServiceTask ? new ServiceTaskFacts() : new ComponentFacts();
            foreach (var level in Enum.GetValues<LimitLevel>())
            {
                var answer = Assess(
                    facts, Limit.Age(level, AgeAnchor.Manufacture, 72, Tag.Practice), DateSpan.Year(1987));
                var action = Line(new DigestItem(Guid.NewGuid(), kind, answer, "Blue van", Guid.NewGuid())).Action;
                Assert.Matches(
                    "^(Replace|Renew|Service|Do|Overhaul or replace|Inspect|Find out how old|Settle what is not "
                        + "known about) (what is not known about )?the .+ of Blue van.*\\.$",
                    action);
            }
        }
    }

    [Fact]
    public void A_choice_becomes_a_digest_with_the_cautions_of_its_work()
    {
        var item = Hose(LimitLevel.StopUse, 72);
        var choice = DigestSelection.Choose(
            Today, [item.Subject], new Dictionary<Guid, PreviousTelling>(), DigestSelection.MemberCap);

        var content = DigestComposer.Compose(
            "Old Iron Club", "Bob", Today, choice, new Dictionary<Guid, DigestItem> { [item.SubjectId] = item },
            DistanceUnit.Mile,
            PartCatalogue.BuiltIn, id => new Uri($"https://club.example/v1/vehicles/{id}/due"));

        Assert.Equal($"https://club.example/v1/vehicles/{item.VehicleId}/due", content.Lines.Single()
            .VehicleLink!.AbsoluteUri);
        Assert.Contains(content.Cautions, caution => caution.Heading == "Brakes");
        Assert.All(content.Cautions, caution =>
            Assert.DoesNotContain(DigestContent.DeferTo, caution.Text, StringComparison.Ordinal));
        Assert.Equal(PartCatalogue.BuiltIn.Version, content.RuleVersion);
        Assert.Contains(DigestContent.DeferTo, DigestText.Write(content), StringComparison.Ordinal);
    }

    [Fact]
    public void A_short_list_says_how_many_of_the_rest_could_kill()
    {
        // Three hoses (could kill) and a marginal part for two places: one of each is left, and the hose is named.
        DigestSubject Subject(int number, HazardClass hazard) =>
            new(new Guid(number, 0, 0, new byte[8]), DueState.Overdue, Certainty.Certain, hazard, Today);
        var item = Hose(LimitLevel.ReplaceBy, 72);
        DigestSubject[] subjects =
            [
                Subject(1, HazardClass.Catastrophic), Subject(2, HazardClass.Catastrophic),
                Subject(3, HazardClass.Catastrophic), Subject(4, HazardClass.Marginal)];
        var choice = DigestSelection.Choose(Today, subjects, new Dictionary<Guid, PreviousTelling>(), cap: 2);

        var content = DigestComposer.Compose(
            "Old Iron Club", "Bob", Today, choice, subjects.ToDictionary(subject => subject.SubjectId, _ => item),
            DistanceUnit.Mile,
            PartCatalogue.BuiltIn, _ => null);

        Assert.Equal("2 more held back to keep this short; 1 of them could kill", content.HeldBackSentence);
        Assert.Equal("2 more held back to keep this short", (content with { HeldBackGravest = 0 }).HeldBackSentence);
        Assert.Contains("1 of them could kill.", DigestText.Write(content), StringComparison.Ordinal);
        Assert.Contains("1 of them could kill", DigestHtml.Write(content), StringComparison.Ordinal);
    }

    private static DigestLine Line(DigestItem item) =>
        DigestSentences.Line(item, TellingReason.New, DistanceUnit.Mile, null);

    private static DigestItem Hose(LimitLevel level, int months) => Hose(level, months, Made2017);

    private static DigestItem Hose(LimitLevel level, int months, DateSpan? made, Deferral? deferral = null) => new(
        new Guid("01890000-0000-7000-8000-0000000000a1"),
        PartCatalogue.BuiltIn.All.Single(k => k.Key == "brake-hose-flexible"),
        Assess(
            new ComponentFacts
            {
                Evidence = made is { } span
                    ? [new Evidence { Kind = EvidenceKind.Mark, On = Today, Text = "10/17",
                    Readings = [new EvidenceReading(span)] }]
                    : [],
                Deferral = deferral,
            },
            Limit.Age(level, AgeAnchor.Manufacture, months, Tag.Practice)),
        "Blue van",
        new Guid("01890000-0000-7000-8000-0000000000b1"),
        "front left");

    private static DueAnswer Assess(DueSubject subject, Limit limit, DateSpan? built = null) =>
        DueAssessment.Assess(new DueQuestion
        {
            AsOf = Today,
            Kind = new KindRules
            {
                Key = "brake-hose-flexible",
                Hazard = HazardClass.Catastrophic,
                Limits = [limit],
                Clock = limit.From
            },
            Vehicle = new VehicleFacts { Built = built, Usage = UsageFacts.None },
            Subject = subject,
        });
}
