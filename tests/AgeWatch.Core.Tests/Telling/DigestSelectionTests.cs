using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;

namespace AgeWatch.Core.Tests.Telling;

public sealed class DigestSelectionTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);
    private static readonly Dictionary<Guid, PreviousTelling> Nothing = [];

    [Theory]
    [InlineData(DueState.StopUse)]
    [InlineData(DueState.Overdue)]
    [InlineData(DueState.InspectDue)]
    [InlineData(DueState.DueSoon)]
    public void What_was_never_told_is_a_line(DueState state)
    {
        var choice = Choose([Part(1, state)]);

        var line = Assert.Single(choice.Lines);
        Assert.Equal((TellingReason.New, 1), (line.Reason, line.Times));
    }

    [Fact]
    public void What_is_in_life_is_nothing_to_say() => Assert.True(Choose([Part(1, DueState.InLife)]).SaysNothing);

    [Fact]
    public void What_is_unknown_stands_apart()
    {
        var choice = Choose([Part(1, DueState.Unknown)]);

        Assert.Empty(choice.Lines);
        Assert.Single(choice.Unknowns);
    }

    [Theory]
    [InlineData(DueState.DueSoon, Certainty.Certain, DueState.Overdue, Certainty.Possible, "Worse")]
    [InlineData(DueState.Overdue, Certainty.Possible, DueState.Overdue, Certainty.Certain, "Worse")]
    [InlineData(DueState.Overdue, Certainty.Certain, DueState.DueSoon, Certainty.Certain, "Milder")]
    [InlineData(DueState.Unknown, Certainty.Certain, DueState.Overdue, Certainty.Certain, "Worse")]
    [InlineData(DueState.InLife, Certainty.Certain, DueState.DueSoon, Certainty.Certain, "New")]
    public void A_change_is_told(
        DueState before, Certainty beforeCertainty, DueState now, Certainty certainty, string reason)
    {
        var choice = Choose(
            [Part(1, now, HazardClass.Marginal) with { Certainty = certainty }],
            Before(1, before, beforeCertainty, daysAgo: 1));

        Assert.Equal((reason, 1), (choice.Lines.Single().Reason.ToString(), choice.Lines.Single().Times));
    }

    [Theory]
    [InlineData(DueState.Overdue, HazardClass.Marginal)]
    [InlineData(DueState.InspectDue, HazardClass.Catastrophic)]
    [InlineData(DueState.DueSoon, HazardClass.Catastrophic)]
    [InlineData(DueState.Unknown, HazardClass.Critical)]
    public void What_is_no_danger_is_told_once(DueState state, HazardClass hazard) =>
        Assert.True(Choose([Part(1, state, hazard)], Before(1, state, daysAgo: 1000)).SaysNothing);

    /// <summary>The rhythm is ours: 7, 14, then 28 days between reminders, for ever.</summary>
    [Theory]
    [InlineData(DueState.StopUse, HazardClass.Negligible)]
    [InlineData(DueState.Overdue, HazardClass.Catastrophic)]
    [InlineData(DueState.Overdue, HazardClass.Critical)]
    [InlineData(DueState.Unknown, HazardClass.Catastrophic)]
    public void A_standing_danger_is_told_ever_more_seldom_and_never_not(DueState state, HazardClass hazard)
    {
        var told = new Dictionary<Guid, PreviousTelling>();
        List<int> days = [];
        for (var day = 0; day < 120; day++)
        {
            var choice = DigestSelection.Choose(
                Today.AddDays(day), [Part(1, state, hazard)], told, DigestSelection.MemberCap);
            foreach (var telling in choice.Lines.Concat(choice.Unknowns))
            {
                days.Add(day);
                told[telling.Subject.SubjectId] = new(state, Certainty.Certain, Today.AddDays(day), telling.Times);
            }
        }

        Assert.Equal([0, 7, 21, 49, 77, 105], days);
    }

    [Fact]
    public void Worst_hazard_comes_first_whatever_the_days_overdue()
    {
        DigestSubject[] parts =
        [
            Part(1, DueState.Overdue, HazardClass.Marginal) with { DueFirst = Today.AddDays(-9000) },
            Part(2, DueState.DueSoon, HazardClass.Catastrophic) with { DueFirst = Today.AddDays(20) },
            Part(3, DueState.StopUse, HazardClass.Critical),
            Part(4, DueState.Overdue, HazardClass.Catastrophic) with { DueFirst = Today.AddDays(-5000) },
            Part(5, DueState.Overdue, HazardClass.Catastrophic) with { DueFirst = Today.AddDays(-3) },
            Part(6, DueState.Overdue, HazardClass.Catastrophic) with { DueFirst = Today.AddDays(-2) },
        ];

        Assert.Equal([4, 5, 6, 2, 3, 1], Choose(parts).Lines.Select(line => Number(line.Subject)));
    }

    [Fact]
    public void The_cap_keeps_places_for_unknowns_and_counts_the_rest()
    {
        var parts = Enumerable.Range(1, 30).Select(n => Part(n, DueState.Overdue))
            .Concat(Enumerable.Range(31, 10).Select(n => Part(n, DueState.Unknown))).ToList();

        var member = Choose(parts);
        var officer = Choose(parts, cap: DigestSelection.OfficerCap);

        Assert.Equal((5, 2, 33), (member.Lines.Count, member.Unknowns.Count, member.HeldBack.Count));
        Assert.Equal((15, 5, 20), (officer.Lines.Count, officer.Unknowns.Count, officer.HeldBack.Count));
        Assert.Equal(7, Choose([.. parts.Take(30)]).Lines.Count);
        Assert.Equal(7, Choose([.. parts.Skip(30)]).Unknowns.Count);
    }

    [Fact]
    public void What_was_held_back_comes_up_the_next_time()
    {
        var parts = Enumerable.Range(1, 30).Select(n => Part(n, DueState.DueSoon)).ToList();
        var told = new Dictionary<Guid, PreviousTelling>();
        for (var night = 0; night < 5; night++)
        {
            foreach (var telling in DigestSelection.Choose(
                Today.AddDays(night), parts, told, DigestSelection.MemberCap).Lines)
            {
                Assert.True(told.TryAdd(
                    telling.Subject.SubjectId, new(DueState.DueSoon, Certainty.Certain, Today.AddDays(night), 1)));
            }
        }

        Assert.Equal(30, told.Count);
    }

    [Fact]
    public void News_get_a_place_before_a_reminder_of_the_same_hazard()
    {
        var parts = Enumerable.Range(1, 8).Select(n => Part(n, DueState.Overdue)).ToList();
        var told = parts.Take(7)
            .ToDictionary(
                p => p.SubjectId, _ => new PreviousTelling(DueState.Overdue, Certainty.Certain, Today.AddDays(-50), 1));

        var choice = DigestSelection.Choose(Today, parts, told, DigestSelection.MemberCap);

        Assert.Contains(choice.Lines, line => Number(line.Subject) == 8);
        Assert.Equal(7, Number(choice.HeldBack.Single().Subject));
    }

    [Fact]
    public void A_deferral_is_quiet_until_it_ends_and_then_says_so()
    {
        var until = Today.AddDays(60);
        var part = Part(1, DueState.Overdue);
        var told = new Dictionary<Guid,
        PreviousTelling>
        { [part.SubjectId] = new(DueState.Overdue, Certainty.Certain, Today.AddDays(-1), 1) };
        List<(int Day, TellingReason Reason)> tellings = [];
        for (var day = 0; day < 70; day++)
        {
            var date = Today.AddDays(day);
            var tonight = date <= until ? part with { DeferredUntil = until } : part with { DeferralEndedOn = until };
            var choice = DigestSelection.Choose(date, [tonight], told, DigestSelection.MemberCap);
            foreach (var telling in choice.Lines.Concat(choice.DeferralsEnding))
            {
                tellings.Add((day, telling.Reason));
                told[part.SubjectId] = new(DueState.Overdue, Certainty.Certain, date, telling.Times);
            }
        }

        Assert.Equal([(46, TellingReason.DeferralEnding), (61, TellingReason.DeferralEnded)], tellings);
    }

    [Fact]
    public void A_deferral_does_not_quiet_stop_use()
    {
        var part = Part(1, DueState.StopUse) with { DeferredUntil = Today.AddDays(60) };

        Assert.Equal(TellingReason.New, Choose([part]).Lines.Single().Reason);
    }

    [Fact]
    public void What_was_put_right_is_thanked_for_once()
    {
        Assert.Equal([Id(1)], Choose([Part(1, DueState.InLife)], Before(1, DueState.Overdue, daysAgo: 9)).MovedOff);
        Assert.Empty(Choose([Part(1, DueState.InLife)], Before(1, DueState.InLife, daysAgo: 9)).MovedOff);
        Assert.Empty(Choose([Part(1, DueState.InLife)]).MovedOff);
    }

    private static DigestChoice Choose(
        IReadOnlyList<DigestSubject> parts, Dictionary<Guid, PreviousTelling>? told = null,
            int cap = DigestSelection.MemberCap) =>
        DigestSelection.Choose(Today, parts, told ?? Nothing, cap);

    private static DigestSubject Part(int number, DueState state, HazardClass hazard = HazardClass.Catastrophic) =>
        new(Id(number), state, Certainty.Certain, hazard, Today);

    private static Dictionary<Guid, PreviousTelling> Before(
        int number, DueState state, Certainty certainty = Certainty.Certain, int daysAgo = 1) =>
        new() { [Id(number)] = new(state, certainty, Today.AddDays(-daysAgo), 1) };

    private static Guid Id(int number) => new(number, 0, 0, new byte[8]);

    private static int Number(DigestSubject subject) =>
        int.Parse(
            subject.SubjectId.ToString()[..8], System.Globalization.NumberStyles.HexNumber,
            System.Globalization.CultureInfo.InvariantCulture);
}
