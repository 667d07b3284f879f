using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.WalkRounds;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.WalkRounds;

/// <summary>Expectations are read by hand from the catalogue's rows: hazard, areas, limits, where the mark
/// is.</summary>
public sealed class WalkRoundTests
{
    private static readonly DateOnly Today = Day("2026-11-25");

    [Fact]
    public void Every_area_of_the_catalogue_has_its_place_on_the_way() =>
        Assert.Equal(
            PartCatalogue.BuiltIn.All.SelectMany(kind => kind.Areas).Distinct().Order(),
            WalkAreas.Keys.Order());

    /// <summary>
    /// Built in May 1987, nothing recorded. brake-hose-flexible is catastrophic, hidden, without warning, 72 months
    /// from manufacture: overdue since 1993-05-01. Its first area on the way is wheel-off-front.
    /// </summary>
    [Fact]
    public void A_car_of_which_nothing_is_known_is_asked_about_what_can_kill()
    {
        var questions = Walk();

        Assert.Equal(WalkRoundRequest.UsualMost, questions.Count);
        var hose = questions.Single(q => q.Kind.Key == "brake-hose-flexible");
        Assert.Equal((WalkPurpose.Find, "wheel-off-front"), (hose.Purpose, hose.Area));
        Assert.Equal(
            "If it is there, it is taken to be as old as the vehicle until proved otherwise: overdue, since "
                + "1993-05-01.",
            hose.Decides);
        Assert.Equal("When was this last done: Brake fluid, glycol (DOT 3/4/5.1)? Look in the papers and on stickers.",
            questions.Single(q => q.Kind.Key == "brake-fluid-glycol").Ask);

        // Every kind that can kill and can be on a car comes before the first that cannot.
        var deadly = PartCatalogue.BuiltIn.All.Where(k => k.Core && k.Hazard.Class == HazardClass.Catastrophic
            && k.Key is not ("tyre-trailer" or "race-helmet" or "jack-and-stands")).Select(k => k.Key);
        Assert.Equal(deadly.Order(), questions.Where(q => q.Kind.Hazard.Class == HazardClass.Catastrophic)
            .Select(q => q.Kind.Key)
            .Order());
    }

    [Fact]
    public void The_way_goes_round_the_car_once()
    {
        var places = Walk(most: 200).Select(q => WalkAreas.PlaceOf(q.Area)).ToList();

        Assert.Equal(places.Order(), places);
    }

    /// <summary>A trailer has no engine and no seat belts; its tyres are trailer tyres.</summary>
    [Fact]
    public void The_form_decides_what_can_be_there()
    {
        var trailer = Walk(VehicleForm.Trailer, most: 200).Select(q => q.Kind.Key).ToHashSet();

        Assert.Contains("tyre-trailer", trailer);
        Assert.Contains("brake-hose-flexible", trailer);
        Assert.DoesNotContain("tyre-road", trailer);
        Assert.DoesNotContain(trailer, key =>
            PartCatalogue.BuiltIn.Find(key)!.System is "fuel" or "engine" or "restraint-safety");
        Assert.DoesNotContain("seat-belt", Walk(VehicleForm.Motorcycle, most: 200).Select(q => q.Kind.Key));
    }

    [Fact]
    public void A_part_with_a_clear_mark_and_no_look_due_is_left_alone_and_one_without_is_asked_for_it()
    {
        var young = Subject("brake-hose-flexible", "front left", Part(Mark(Span("2026-01-05", "2026-01-05"))));
        var unread = Subject("brake-hose-flexible", "front right", Part(On(EvidenceKind.Fitted, "2025-05-01")));
        var unclear = Subject(
            "tyre-road", "rear", Part(Mark(Span("2016-01-03", "2016-01-09"), Span("2026-01-04", "2026-01-10"))));

        var questions = Walk(recorded: [young, unread, unclear]);

        Assert.DoesNotContain(questions, q => q.Subject == young);
        Assert.Equal(WalkPurpose.ReadMark, questions.Single(q => q.Subject == unread).Purpose);
        var choose = questions.Single(q => q.Subject == unclear);
        Assert.Equal(WalkPurpose.ChooseReading, choose.Purpose);
        Assert.Contains("2016-01-03 to 2016-01-09 and 2026-01-04 to 2026-01-10", choose.Ask, StringComparison.Ordinal);
        Assert.DoesNotContain(questions, q =>
            q.Purpose == WalkPurpose.Find && q.Kind.Key is "brake-hose-flexible" or "tyre-road" && q.Subject is null);
    }

    [Fact]
    public void What_somebody_looked_for_in_vain_is_not_asked_again() =>
        Assert.DoesNotContain(Walk(absent: ["air-bag"]), q => q.Kind.Key == "air-bag");

    /// <summary>Built yesterday, everything is in life by presumption: nothing is worth a question but what goes by an
    /// odometer that nobody has read.</summary>
    [Fact]
    public void A_new_car_needs_no_walk() =>
        Assert.Empty(WalkRound.Questions(new()
        {
            AsOf = Today,
            Vehicle = Car("2026-11-24", "2026-11-24"),
        }).Where(q => q.Unanswered is not ({ State: DueState.Unknown }
            or { Governing.Standing: LimitStanding.NoBasis })));

    [Fact]
    public void An_unknown_year_is_never_good()
    {
        var questions = Walk(built: null);

        Assert.All(questions.Where(q => q.Kind.Form == PartForm.Component), q =>
            Assert.Equal(DueState.Unknown, q.Unanswered.State));
        Assert.Contains(questions, q =>
            q.Decides == "As long as nobody looks its age is unknown, and unknown is never good.");
    }

    /// <summary>
    /// One hose read is not the others read. They are presumed as old as the car of May 1987, 72 months from
    /// manufacture: overdue since
    /// 1993-05-01. How many a car has is common practice, no source: four road wheels; a hose to each wheel or fewer,
    /// up to six.
    /// </summary>
    [Fact]
    public void One_of_several_leaves_the_others_in_question()
    {
        var young = Part(Mark(Span("2026-01-05", "2026-01-05")));
        var hose = Subject("brake-hose-flexible", "front left", young);
        WalkSubject[] tyres = [.. Enumerable.Range(1, 3).Select(n => Subject("tyre-road", $"wheel {n}", young))];
        WalkSubject[] recorded = [hose, .. tyres, Subject("timing-belt", "engine", young)];

        var questions = Walk(most: 200, recorded: recorded);

        var others = questions.Single(q => q.Kind.Key == "brake-hose-flexible");
        Assert.Equal(
            (WalkPurpose.Others, "wheel-off-front", DueState.Overdue, null),
            (others.Purpose, others.Area, others.Unanswered.State, others.Subject));
        Assert.Equal(
            "Are there others: Brake hose, flexible? Recorded is one (front left); usual are up to 6 (common "
                + "practice, no source). "
            + "Read the date mark of each of the others as it is written, or say that there are no others.",
            others.Ask);
        Assert.Equal(
            "If there are others, each is taken to be as old as the vehicle until proved otherwise: overdue, since "
                + "1993-05-01.",
            others.Decides);
        Assert.Equal(3, questions.Single(q => q.Kind.Key == "tyre-road").Beside.Count);
        Assert.DoesNotContain(questions, q => q.Kind.Key == "timing-belt" && q.Subject is null);

        Assert.DoesNotContain(Walk(most: 200, recorded: recorded, complete: ["brake-hose-flexible"]), q =>
            q.Kind.Key == "brake-hose-flexible");
        Assert.DoesNotContain(Walk(most: 200, recorded: [.. recorded, Subject("tyre-road", "wheel 4", young)]), q =>
            q.Kind.Key == "tyre-road");
    }

    [Fact]
    public void What_comes_in_several_is_a_part_of_the_catalogue() =>
        Assert.All(UsualSets.Keys, key => Assert.Equal(PartForm.Component, PartCatalogue.BuiltIn.Find(key)!.Form));

    private static IReadOnlyList<WalkQuestion> Walk(
        VehicleForm form = VehicleForm.Car, int most = WalkRoundRequest.UsualMost, WalkSubject[]? recorded = null,
        string[]? absent = null,
        string? built = "1987-05-01", string[]? complete = null) => WalkRound.Questions(new()
        {
            AsOf = Today,
            Form = form,
            Vehicle = Car(built, "1987-05-31"),
            Recorded = recorded ?? [],
            Absent = absent ?? [],
            Complete = complete ?? [],
            Most = most,
        });

    private static WalkSubject Subject(string key, string position, ComponentFacts facts)
    {
        var kind = KindRules.From(PartCatalogue.BuiltIn.Find(key)!, PartCatalogue.BuiltIn);
        return new(Guid.NewGuid(), key, position, Ask(kind, facts, "2026-11-25"));
    }
}
