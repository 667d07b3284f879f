using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;

namespace AgeWatch.Core.Tests.Telling;

public sealed class WorstFirstTests
{
    private const Force Law = Force.Mandatory;
    private const Force Own = Force.Recommended;
    private static readonly DateOnly Day = new(2026, 11, 25);

    /// <summary>Each stands before the next for one reason only; the later parts of the key speak for the other
    /// order.</summary>
    [Fact]
    public void Hazard_then_state_then_force_then_certainty_then_the_day_then_the_subject_decide()
    {
        WorstKey[] inOrder =
        [
            new(HazardClass.Catastrophic, DueState.StopUse, null, Certainty.Possible, DateOnly.MaxValue, Id(9)),
            new(HazardClass.Catastrophic, DueState.Overdue, Law, Certainty.Possible, DateOnly.MaxValue, Id(10)),
            new(HazardClass.Catastrophic, DueState.Overdue, Own, Certainty.Certain, null, Id(8)),
            new(HazardClass.Catastrophic, DueState.Overdue, Own, Certainty.Certain, DateOnly.MinValue, Id(7)),
            new(HazardClass.Catastrophic, DueState.Overdue, Own, Certainty.Certain, Day, Id(5)),
            new(HazardClass.Catastrophic, DueState.Overdue, Own, Certainty.Certain, Day, Id(6)),
            new(HazardClass.Catastrophic, DueState.Overdue, Own, Certainty.Certain, DateOnly.MaxValue, Id(4)),
            new(HazardClass.Catastrophic, DueState.Overdue, Own, Certainty.Possible, DateOnly.MinValue, Id(3)),
            new(HazardClass.Catastrophic, DueState.InLife, Law, Certainty.Possible, Day, Id(2)),
            new(HazardClass.Critical, DueState.StopUse, Law, Certainty.Certain, DateOnly.MinValue, Id(1)),
        ];

        Assert.Equal(inOrder, inOrder.Reverse().Order(WorstFirst.Order));
        for (var i = 1; i < inOrder.Length; i++)
        {
            Assert.True(
                WorstFirst.Order.Compare(inOrder[i - 1], inOrder[i]) < 0, $"{inOrder[i - 1]} before {inOrder[i]}");
        }
    }

    [Fact]
    public void It_is_one_total_order_over_random_rows()
    {
        Random random = new(20261125);
        var rows = Enumerable.Range(0, 60).Select(_ => Any(random)).ToArray();
        foreach (var a in rows)
        {
            foreach (var b in rows)
            {
                Assert.Equal(Sign(a, b), -Sign(b, a));
                Assert.Equal(a == b, Sign(a, b) == 0);
                foreach (var c in rows)
                {
                    Assert.False(Sign(a, b) <= 0 && Sign(b, c) <= 0 && Sign(a, c) > 0, $"{a} {b} {c}");
                }
            }
        }
    }

    [Fact]
    public void A_rank_says_the_same_as_its_parts_one_by_one()
    {
        Random random = new(20261126);
        for (var i = 0; i < 20_000; i++)
        {
            var (a, b) = (Any(random), Any(random));
            var byParts = (a.Hazard, a.State, a.Force != Law, -(int)a.Certainty, Days(a))
                .CompareTo((b.Hazard, b.State, b.Force != Law, -(int)b.Certainty, Days(b)));
            Assert.Equal(Math.Sign(byParts), Math.Sign(a.Rank.CompareTo(b.Rank)));
        }

        static int Days(WorstKey key) => key.Due?.DayNumber ?? -1;
    }

    private static int Sign(WorstKey a, WorstKey b) => Math.Sign(WorstFirst.Order.Compare(a, b));

    private static WorstKey Any(Random random) => new(
        (HazardClass)random.Next(4), (DueState)random.Next(6), random.Next(2) == 0 ? Law : Own,
        (Certainty)random.Next(2),
        random.Next(5) switch
        {
            0 => null,
            1 => DateOnly.MinValue,
            2 => DateOnly.MaxValue,
            _ => Day.AddDays(random.Next(-2, 3)),
        },
        Id(random.Next(4)));

    private static Guid Id(int number) => new(number, 0, 0, new byte[8]);
}
