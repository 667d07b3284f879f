namespace AgeWatch.Core.Due;

/// <summary>Which of several numbers for the same thing counts.</summary>
/// <remarks>
/// Law, then a label on the part, then the maker's figure, then a published standard, then a rule of one's own, then
/// the catalogue's practice and memory. It holds within one level and one clock; numbers on different clocks all count,
/// whichever comes first, and of equal rank all count too. Refinements keep doubt on the safe side: a maker's figure
/// does not remove a stop-use line of a standard; a last day printed on the part replaces lower numbers that count from
/// manufacture, which the printed day already answers, unless it may as well be the day it was made; a law not yet in
/// force on the day another line is reached removes nothing. A rule of one's own removes nothing mandatory, nothing of
/// what can kill or injure, and nothing from its day of review on; and only what comes no later removes it.
/// </remarks>
internal static class Precedence
{
    public static int Rank(Tag tag) => tag switch
    {
        Tag.Law => 0,
        Tag.Label => 1,
        Tag.Maker => 2,
        Tag.Standard => 3,
        Tag.Own => 4,
        Tag.Practice or Tag.Memory => 5,
    };

    public static bool Beats(in LimitWork winner, in LimitWork loser, bool isServiceTask)
    {
        if (Rank(winner.Limit.Tag) >= Rank(loser.Limit.Tag)
            || winner.Limit.ValidFrom is { } from && winner.Due?.First == from
            || winner.Measure == LimitMeasure.PrintedDay && winner.Due?.Last == DateOnly.MaxValue)
        {
            return false;
        }

        if (winner.Measure == LimitMeasure.PrintedDay
            && loser.Measure == LimitMeasure.Age
            && loser is { Anchor: AgeAnchor.Manufacture, Limit.From: not AgeAnchor.Fitting })
        {
            var catalogues = loser.Limit.Tag is Tag.Standard or Tag.Practice or Tag.Memory;
            return winner.Limit.Level == loser.Limit.Level
                || winner.Limit.Level == LimitLevel.StopUse && loser.Limit.Level == LimitLevel.ReplaceBy && catalogues;
        }

        return winner.Limit.Level == loser.Limit.Level
            && winner.Measure == loser.Measure
            && (winner.Measure != LimitMeasure.Age || SameClock(Clock(winner), Clock(loser), isServiceTask))
            && !(winner.Limit.Tag == Tag.Maker
                && loser.Limit.Tag == Tag.Standard
                && loser.Limit.Level == LimitLevel.StopUse);
    }

    /// <summary>What keeps a number beside a rule of one's own, on one side or the other.</summary>
    public static bool IsKeptFromOwn(in LimitWork winner, in LimitWork loser, HazardClass hazard, DateOnly asOf) =>
        winner.Limit.Tag == Tag.Own
            ? loser.Force == Force.Mandatory || hazard <= HazardClass.Critical || !(asOf < winner.Limit.ReviewOn)
            : loser.Limit.Tag == Tag.Own && !(winner.Due?.First <= loser.Due?.First);

    // What counts from fitting and was stored too long counts from manufacture instead; it is no number for that clock.
    private static AgeAnchor Clock(in LimitWork work) =>
        work is { Anchor: AgeAnchor.Manufacture, Limit.From: AgeAnchor.Fitting } ? AgeAnchor.Fitting : work.Anchor;

    private static bool SameClock(AgeAnchor a, AgeAnchor b, bool isServiceTask) =>
        a == b
        || isServiceTask && a != AgeAnchor.Regulatory && b != AgeAnchor.Regulatory
        || a is AgeAnchor.Fill or AgeAnchor.Service && b is AgeAnchor.Fill or AgeAnchor.Service;
}

/// <summary>One number of one limit on its way to an <see cref="AssessedLimit"/>.</summary>
internal struct LimitWork
{
    public Limit Limit;
    public LimitMeasure Measure;
    public AgeAnchor Anchor;
    public DateSpan? From;
    public DateSpan? Due;
    public DateOnly? Likely;
    public decimal? ReachedAt;
    public MovingAmount? Left;
    public LimitStanding Standing;
    public Limit? BeatenBy;
    public Finding? Finding;
    public Happening? Happening;

    public readonly Force Force => Forces.Of(Limit, Finding, Measure);

    public readonly AssessedLimit Done(DistanceUnit unitOfCar) => new()
    {
        Limit = Limit,
        UnitOfCar = unitOfCar,
        Measure = Measure,
        Anchor = Anchor,
        From = From,
        Due = Due,
        Likely = Likely,
        ReachedAt = ReachedAt,
        Left = Left,
        Standing = Standing,
        BeatenBy = BeatenBy,
        Finding = Finding,
        Happening = Happening,
    };
}
