using AgeWatch.Core.Due;

namespace AgeWatch.Server.Answers;

/// <summary>A question that decides, and what its answers lead to.</summary>
/// <param name="Leads">Of several answers that lead to the same the first.</param>
internal sealed record AskReply(DueAskCode About, string Question, IReadOnlyList<LeadReply> Leads)
{
    public static AskReply From(DueAsk ask) => new(ask.Code, ask.Sentence, LeadReply.Of(ask));
}

/// <param name="Answer">In a few words; where any day or amount can be the answer, an example of it.</param>
/// <param name="Due">Of the limit that would govern; null: no day can be told.</param>
internal sealed record LeadReply(string Answer, DueState State, Certainty Certainty, DueDaysReply? Due)
{
    public static IReadOnlyList<LeadReply> Of(DueAsk ask) =>
        [.. ask.Leads.Select(lead => new LeadReply(
            lead.Answer, lead.State, lead.Certainty, DueDaysReply.From(lead.Due)))];
}

/// <summary>A question about the vehicle itself, asked once for all of its parts and tasks.</summary>
/// <param name="Decides">The parts and tasks of which an answer decides something.</param>
internal sealed record VehicleAskReply(DueAskCode About, string Question, IReadOnlyList<SubjectLeadsReply> Decides)
{
    /// <summary>What decides the most comes first.</summary>
    public static IReadOnlyList<VehicleAskReply> Of(IEnumerable<(Guid Id, DueAnswer Answer)> subjects) =>
    [
        .. subjects.SelectMany(subject => subject.Answer.Asks.Where(ask => ask.IsOfVehicle)
                .Select(ask => (subject.Id, Ask: ask, ask.Sentence)))
            .GroupBy(one => one.Sentence)
            .OrderByDescending(group => group.Count())
            .Select(group => new VehicleAskReply(
                group.First().Ask.Code, group.Key,
                [.. group.Select(one => new SubjectLeadsReply(one.Id, LeadReply.Of(one.Ask)))])),
    ];
}

internal sealed record SubjectLeadsReply(Guid SubjectId, IReadOnlyList<LeadReply> Leads);
