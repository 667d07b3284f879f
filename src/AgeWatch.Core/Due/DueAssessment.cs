namespace AgeWatch.Core.Due;

/// <summary>The due answer: a pure function of the facts and the day.</summary>
/// <remarks>
/// The due days of every limit follow from the facts alone; the day asked is only compared with them. So a later day
/// never improves a state, and the next change is exact.
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
        return answer;
    }
}
