using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>
/// Nobody's part is 70 years older than its paper. What a mark could also mean is kept as remote, with the rule that
/// sets it aside, and does not govern while a nearer reading stands.
/// </summary>
public sealed class FarReadingTests
{
    private static readonly DateOnly Today = new(2026, 6, 30);

    /// <summary>
    /// By hand: 0325 is March 2025, week 3 of 2025 (13 to 19 January), day 325 of a year that ends in 0, or week 25 of
    /// 2003. Bought in April 2025 after up to 24 months on the shelf (the storage limit of the kind), it was made since
    /// April 2023, which leaves the week and the month of 2025. Five years from fitting it is due in April 2030.
    /// </summary>
    [Fact]
    public void A_timing_belt_bought_in_2025_is_not_of_1950()
    {
        var answer = Ask(
            "timing-belt", "0325", Car(), On(EvidenceKind.Document, "2025-04-01"),
            On(EvidenceKind.Fitted, "2025-04-12"));

        Assert.Equal(Span("2025-01-13", "2025-03-31"), answer.Born.Span);
        Assert.Equal(
            new(2030, 4, 12),
            answer.Limits.Single(limit => limit is { Level: LimitLevel.ReplaceBy, Measure: LimitMeasure.Age })
                .Due!.Value.First);
        Assert.Contains(answer.Born.Remote, far =>
            far.Reading.Days == DateSpan.Day(new(1950, 11, 21)) && far.Bound.Rule == AgeBoundRule.FirstOfKind);
        Assert.Contains(answer.Born.Remote, far =>
            far.Reading.Days.First.Year == 1970 && far.Bound.Rule == AgeBoundRule.BuiltCar);
        Assert.Contains(answer.Born.Remote, far =>
            far.Reading.Days.First.Year == 2003 && far.Bound.Rule == AgeBoundRule.Shelf);
        Assert.Contains(answer.Reasons, reason =>
            reason.Contains("1950-11-21", StringComparison.Ordinal)
                && reason.Contains("from memory, unverified", StringComparison.Ordinal));
        Assert.Contains(answer.Reasons, reason =>
            reason.Contains("the vehicle was built no earlier", StringComparison.OrdinalIgnoreCase)
                && reason.Contains("common practice, no source", StringComparison.Ordinal));
    }

    /// <summary>Day 325 of 1950 is 21 November; the person who names the convention says that it is one of
    /// those.</summary>
    [Fact]
    public void Naming_the_convention_lifts_every_bound()
    {
        var answer = Ask(
            "timing-belt", "0325", Car(), "julian-yddd", On(EvidenceKind.Document, "2025-04-01"));

        Assert.Equal(new(1950, 11, 21), answer.Born.Span!.Value.First);
        Assert.Empty(answer.Born.Remote);
    }

    /// <summary>A year in full is a person's word as well: nothing nearer stands, so it governs, and it is
    /// odd.</summary>
    [Fact]
    public void A_far_reading_without_a_nearer_one_governs_and_is_an_oddity()
    {
        var answer = Ask("v-belt", "March 1961", Car());

        Assert.Equal(Span("1961-03-01", "1961-03-31"), answer.Born.Span);
        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.OlderThanVehicle);
        Assert.Contains(answer.Reasons, reason => reason.StartsWith("An oddity", StringComparison.Ordinal));
    }

    /// <summary>49 CFR 574.5: 409 is week 40 of 1979, 1989 or 1999. On a car of 1991 a tyre of 1979 is hard to believe
    /// and one of 1989 is not; a bill of 2000, after up to five years on the shelf, leaves 1999; fitted in 2000 within
    /// ten years of being made leaves 1999 too, and in 1999 both. Where only one can be, it stands whatever its
    /// age.</summary>
    [Theory]
    [InlineData(EvidenceKind.Document, null, "1989-10-01")]
    [InlineData(EvidenceKind.Document, "2000-03-01", "1999-10-03")]
    [InlineData(EvidenceKind.Fitted, "2000-03-01", "1999-10-03")]
    [InlineData(EvidenceKind.Fitted, "1999-10-05", "1989-10-01")]
    [InlineData(EvidenceKind.Document, "1994-03-01", "1989-10-01")]
    [InlineData(EvidenceKind.Document, "1988-03-01", "1979-10-07")]
    public void The_earliest_that_stands_governs(EvidenceKind paper, string? on, string first)
    {
        var car = Car("1991-05-01", "1991-05-31");

        var answer = Ask("tyre-road", "409", car, on is null ? [] : [On(paper, on)]);

        Assert.Equal(Day(first), answer.Born.Span!.Value.First);
    }

    /// <summary>A helmet or an extinguisher can be older than the car it is found in.</summary>
    [Fact]
    public void What_fits_any_car_is_not_bound_by_the_car()
    {
        var car = Car("2015-05-01", "2015-05-31");

        Assert.Equal(2006, Ask("race-helmet", "6/06", car).Born.Span!.Value.First.Year);
        Assert.Empty(Ask("extinguisher-co2-or-foam", "06/07", car).Born.Remote);
    }

    [Fact]
    public void The_calculator_of_marks_sets_the_same_readings_aside_and_asks_less()
    {
        var kind = PartCatalogue.BuiltIn.Find("timing-belt")!;
        var question = new MarkQuestion("0325")
        {
            Observed = Today,
            Likely = kind.Mark.Likely,
            Possible = kind.Mark.Possible,
            VehicleBuilt = DateSpan.Month(1987, 5),
        };

        var open = MarkReader.Read(question);
        var bound = MarkReader.Read(question with { Bounds = MarkEvidence.Bounds(kind, question.VehicleBuilt) });
        var told = MarkReader.Read(question with
        {
            Bounds = MarkEvidence.Bounds(kind, question.VehicleBuilt),
            NotBefore = new(1930, 1, 1),
        });

        Assert.Equal(open.Readings, bound.Readings.Concat(bound.Remote.Select(far => far.Reading))
            .OrderBy(reading => reading.Span));
        Assert.Equal([1950, 1960, 1970], bound.Remote.Select(far => far.Reading.Span.First.Year));
        Assert.Equal(new(1980, 11, 20), bound.Governing!.Value.Span.First);
        Assert.Empty(told.Remote);
    }

    /// <summary>For every kind and many marks: no day of birth lies before a bound while something nearer stands,
    /// nothing is lost, and a part of another age than its car by ten years says so.</summary>
    [Fact]
    public void No_birth_lies_before_its_bounds_unless_nothing_nearer_stands_or_the_convention_is_named()
    {
        var random = new Random(20_261_127);
        var (aside, odd) = (0, 0);
        for (var i = 0; i < 6_000; i++)
        {
            var kind = PartCatalogue.BuiltIn.All[random.Next(PartCatalogue.BuiltIn.All.Count)];
            if (kind.Form != PartForm.Component)
            {
                continue;
            }

            var built = DateSpan.Year(random.Next(1955, 2015));
            var bought = random.Next(2) == 0 ? (DateOnly?)null : new DateOnly(random.Next(built.Last.Year, 2026), 5, 1);
            var text = random.Next(3) switch
            {
                0 => $"{random.Next(10_000):0000}",
                1 => $"{random.Next(1, 13):00}/{random.Next(100):00}",
                _ => $"{random.Next(1, 29):00}.{random.Next(1, 13):00}.{random.Next(100):00}",
            };
            var answer = Ask(
                kind.Key, text, new() { Built = built },
                bought is { } day ? [On(EvidenceKind.Document, $"{day:yyyy-MM-dd}")] : []);
            aside += answer.Born.Remote.Count;
            foreach (var far in answer.Born.Remote.Where(far => far.Bound.Rule != AgeBoundRule.RareForm))
            {
                Assert.True(
                    answer.Born.Span!.Value.First >= far.Reading.Possible.First,
                    $"{kind.Key} \"{text}\": {far.Reading.Days} is set aside and {answer.Born.Span} governs.");
                Assert.All(answer.Born.Readings, near => Assert.True(near.Possible.Last >= far.Bound.NotBefore));
                Assert.Contains(answer.Notes, note => note.Bound == far.Bound);
            }

            var isOdd = answer.Born is { Readings.Count: > 0, Span: { } born }
                && born.First.AddYears(10) < built.First;
            Assert.Equal(isOdd, answer.Notes.Any(note => note.Code == DueNoteCode.OlderThanVehicle));
            odd += isOdd ? 1 : 0;
        }

        Assert.True(aside > 500 && odd > 50, $"{aside} set aside, {odd} odd.");
    }

    /// <summary>A punch or a bare month on a harness can be either: the worse is counted as possible, and it is asked.
    /// Good through June 2025, it is out of use from 1 July 2025.</summary>
    [Theory]
    [InlineData("race-harness-sfi", "06/25", true)]
    [InlineData("race-harness-fia", "06/25", true)]
    [InlineData("race-seat", "06/25", true)]
    [InlineData("cng-cylinder", "06/2025", true)]
    [InlineData("race-harness-sfi", "made 06/25", false)]
    [InlineData("race-harness-fia", "Not valid after 06/25", false)]
    [InlineData("v-belt", "06/25", false)]
    public void Made_or_expires_is_asked_in_the_due_answer(string kind, string text, bool isAsked)
    {
        var answer = Ask(kind, text, Car());

        Assert.Equal(isAsked, answer.Asks.Any(ask => ask.Code == DueAskCode.MadeOrExpires));
        if (isAsked)
        {
            Assert.Equal((DueState.StopUse, Certainty.Possible), (answer.State, answer.Certainty));
            Assert.Equal(new(2025, 7, 1), answer.Due!.Value.First);
            // What may not be a last day stands before no other number.
            Assert.DoesNotContain(answer.Limits, limit => limit.BeatenBy is { LastDay: not null });
            Assert.Contains(answer.Questions, question =>
                question.Contains("made, or not valid after", StringComparison.Ordinal));
        }
    }

    /// <summary>06/95 on a harness bought in 2005 is good until 1995 or 2095, or made in 1995: an expiry long past is
    /// not hidden by one far ahead.</summary>
    [Fact]
    public void No_expiry_is_set_aside_for_one_that_lies_ahead()
    {
        var answer = Ask("race-harness-fia", "06/95", Car(), On(EvidenceKind.Document, "2005-05-01"));

        Assert.Equal(DueState.StopUse, answer.State);
        Assert.Equal(new(1995, 7, 1), answer.Due!.Value.First);
    }

    [Theory]
    [InlineData("9915", DueNoteCode.MarkImpossible)]
    [InlineData("ACME", DueNoteCode.MarkUnread)]
    public void An_impossible_mark_is_not_called_unreadable(string text, DueNoteCode expected)
    {
        var answer = Ask("tyre-road", text, Car());

        Assert.Contains(answer.Notes, note => note.Code == expected);
        Assert.Equal(
            expected == DueNoteCode.MarkUnread,
            answer.Reasons.Any(reason => reason.Contains("could not be read", StringComparison.Ordinal)));
    }

    private static DueAnswer Ask(string kind, string text, VehicleFacts car, params Evidence[] others) =>
        Ask(kind, text, car, null, others);

    private static DueAnswer Ask(
        string kind, string text, VehicleFacts car, string? convention, params Evidence[] others)
    {
        var known = PartCatalogue.BuiltIn.Find(kind)!;
        var mark = new Evidence { Kind = EvidenceKind.Mark, Text = text, On = Today }.Read(
            MarkReader.Read(MarkEvidence.Question(text, convention, Today, known, car, original: false, null)),
            convention);
        return DueAssessment.Assess(new()
        {
            AsOf = Today,
            Kind = KindRules.From(known, PartCatalogue.BuiltIn),
            Subject = Part([mark, .. others]),
            Vehicle = car,
        });
    }
}
