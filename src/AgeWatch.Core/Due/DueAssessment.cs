namespace AgeWatch.Core.Due;

/// <summary>The due answer: a pure function of the facts and the day.</summary>
/// <remarks>
/// The due days of every limit follow from the facts alone; the day asked is only compared with them. So a later day
/// never improves a state, and the next change is exact. Two things alone hang on the day: before the earliest day on
/// which a part can have been made it did not exist, and work done after the day had not been done.
/// </remarks>
public static class DueAssessment
{
    // Room to work in, kept from one answer to the next: nothing of it is seen outside.
    [ThreadStatic]
    private static List<LimitWork>? _room;

    /// <exception cref="ArgumentException">A limit has no number, or a number that is not positive.</exception>
    public static DueAnswer Assess(DueQuestion question)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(question.WarningDays);
        var room = _room ?? new(16);
        _room = null;
        var answer = new Assessment(question, room).Answer();
        room.Clear();
        _room = room;
        return question.Subject is ServiceTaskFacts task ? UntilNextDone(question, task, answer) : answer;
    }

    /// <summary>Of a past day: the next time that it was done may change the answer too.</summary>
    private static DueAnswer UntilNextDone(DueQuestion question, ServiceTaskFacts task, DueAnswer answer)
    {
        DateOnly? next = null;
        foreach (var done in task.Done)
        {
            if (done.On > question.AsOf && !(done.On > question.KnownOn) && !(done.On >= next))
            {
                next = done.On;
            }
        }

        if (next is not { } on || answer.NextChangeOn < on)
        {
            return answer;
        }

        var then = Assess(question with { AsOf = on });
        var isSame = (then.State, then.Certainty, then.DeferralStanding, then.GoverningIndex)
            == (answer.State, answer.Certainty, answer.DeferralStanding, answer.GoverningIndex);
        return answer with { NextChangeOn = isSame ? then.NextChangeOn : on };
    }
}
