namespace AgeWatch.Core.Due;

/// <summary>Picks from what is open the questions that decide something.</summary>
/// <remarks>
/// Each possible answer is supposed and assessed. A question stays when some answer changes the state, its certainty or
/// the limit that governs; what only moves a day that is not reached is asked when it comes to matter. Changes of state
/// come first, then those of certainty, then those of the limit.
/// </remarks>
internal static class DecidingAsks
{
    private enum Change
    {
        State,
        Certainty,
        Force,
        Governing,
        None,
    }

    public static IReadOnlyList<DueAsk> Of(DueAnswer now)
    {
        if (now.Open.Count == 0)
        {
            return [];
        }

        List<(Change Change, DueAsk Ask)> deciding = new(now.Open.Count);
        foreach (var ask in now.Open)
        {
            var leads = Leads(now, ask, out var change);

            // A number that lost its standing at the upgrade is asked back, whatever it would change today.
            if (change != Change.None || ask.Code == DueAskCode.WhatReference)
            {
                deciding.Add((change, ask with { Leads = leads }));
            }
        }

        return [.. deciding.OrderBy(one => one.Change).Select(one => one.Ask)];
    }

    private static List<DueLead> Leads(DueAnswer now, DueAsk ask, out Change greatest)
    {
        List<DueLead> leads = [];
        greatest = Change.None;
        foreach (var (answer, question) in Suppositions.Of(ask, now))
        {
            var then = DueAssessment.Assess(question);
            var change = Between(now, then);
            greatest = change < greatest ? change : greatest;
            DueLead lead = new(answer, then.State, then.Certainty, then.Due, then.Governing);
            if (!leads.Exists(known => (known.State, known.Certainty) == (lead.State, lead.Certainty)
                && IsSame(known.Governing, lead.Governing)))
            {
                leads.Add(lead);
            }
        }

        return leads;
    }

    private static Change Between(DueAnswer now, DueAnswer then) =>
        now.State != then.State ? Change.State
        : now.Certainty != then.Certainty ? Change.Certainty
        : now.Force != then.Force ? Change.Force
        : !IsSame(now.Governing, then.Governing) ? Change.Governing
        : Change.None;

    private static bool IsSame(AssessedLimit? one, AssessedLimit? other) =>
        one is null || other is null
            ? ReferenceEquals(one, other)
            : (one.Level, one.Measure, one.Tag, one.Number, one.Anchor)
                == (other.Level, other.Measure, other.Tag, other.Number, other.Anchor);
}
