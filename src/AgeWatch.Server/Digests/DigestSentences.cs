using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;

namespace AgeWatch.Server.Digests;

/// <summary>The one place where an answer becomes a line of a digest.</summary>
internal static class DigestSentences
{
    /// <param name="unit">The reader's own.</param>
    public static DigestLine Line(DigestItem item, TellingReason reason, DistanceUnit unit, Uri? vehicleLink)
    {
        var answer = item.Answer;
        return new()
        {
            SubjectId = item.SubjectId,
            Vehicle = item.Vehicle ?? "the shelf",
            Action = Action(item, reason, unit),
            Why = Why(answer, unit),
            Tag = answer.State == DueState.Unknown ? null : answer.Governing?.Tag,
            Evidence = answer.Basis.Sentence,
            Hazard = answer.Hazard,
            State = answer.State,
            Certainty = answer.Certainty,
            Force = answer.Force,
            Due = answer.State == DueState.Unknown ? null : answer.Due,
            Life = answer.State == DueState.Unknown ? null : Life(answer),
            Owner = item.Owner,
            Question = answer.Questions.Count > 0 ? answer.Questions[0] : null,
            DeferredUntil = reason == TellingReason.DeferralEnding ? answer.DeferredUntil : null,
            VehicleLink = vehicleLink,
            Reference = answer.State == DueState.Unknown ? null : answer.Governing?.Reference,
        };
    }

    public static string MovedOff(DigestItem item) => $"{Capital(Part(item))} {Place(item)}.";

    private static string Action(DigestItem item, TellingReason reason, DistanceUnit unit)
    {
        var answer = item.Answer;
        var what = $"the {Part(item)} {Place(item)}";
        if (reason is TellingReason.DeferralEnding or TellingReason.DeferralEnded)
        {
            return $"Decide again on {what}: the deferral "
                + $"{(reason == TellingReason.DeferralEnding ? "ends" : "ended")} on "
                + $"{answer.DeferredUntil:yyyy-MM-dd}.";
        }

        var work = Verb(item.Kind);
        return answer.State switch
        {
            DueState.StopUse => $"{Capital(work)} {what} before its next use.",
            DueState.Overdue when answer.Certainty == Certainty.Possible =>
                $"{Capital(work)} {what}, or find proof that it is younger.",
            DueState.Overdue => $"{Capital(work)} {what}.",
            DueState.Unknown when AsksForAge(answer) => $"Find out how old {what} is.",
            DueState.Unknown => $"Settle what is not known about {what}.",
            DueState.InspectDue => $"Inspect {what}.",
            DueState.DueSoon =>
                $"Plan to {(answer.Governing?.Level == LimitLevel.InspectFrom ? "inspect" : work)} {what} before "
                    + $"{answer.Due?.First:yyyy-MM-dd}{AtDistance(answer, unit)}.",
            DueState.InLife => $"Leave {what} as it is.",
        };
    }

    private static string Why(DueAnswer answer, DistanceUnit unit)
    {
        if (answer.State == DueState.Unknown)
        {
            return "a limit counts whose day cannot be told, and unknown is never good.";
        }

        if (answer.Governing is not { } limit)
        {
            return "nothing limits it.";
        }

        var rule = limit.Measure switch
        {
            LimitMeasure.Condition when limit.Finding is { } finding =>
                $"an inspection on {finding.On:yyyy-MM-dd} found it "
                    + $"{(limit.Level == LimitLevel.StopUse ? "unfit" : "failed")}{(finding.Sign is { } sign ? $" ({sign})" : "")}",
            LimitMeasure.Condition when limit.Limit.ReviewOn is not null => "the rule set for it is to be reviewed",
            LimitMeasure.Condition => "it lay in store longer than its kind may before it was fitted",
            LimitMeasure.PrintedDay => "the last day printed on it",
            LimitMeasure.Distance =>
                $"{Words.Limit(limit.Level)} of {Whole(limit.Limit.Distance!.Value, unit)} from "
                    + $"{Words.Of(limit.Anchor)}",
            _ =>
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{Words.Limit(limit.Level)} of {limit.Number:0.###} {limit.Unit} from {Words.Of(limit.Anchor)}"),
        };
        return limit.Due is not { } due || limit.Measure == LimitMeasure.Condition ? rule + "."
            : due.First > answer.AsOf ? $"{rule}, reached on {due.First:yyyy-MM-dd} at the earliest."
            : $"{rule}, reached on {due.First:yyyy-MM-dd}{(due.Last > answer.AsOf ? " at the earliest" : "")}.";
    }

    private static LifeLine? Life(DueAnswer answer) =>
        answer is { Born.Span: { } born, Due: { } due }
            ? new(born, due.Last == DateOnly.MaxValue ? DateSpan.Day(due.First) : due, answer.AsOf)
            : null;

    /// <summary>The distance at which the same work is due, when it can be told.</summary>
    private static string AtDistance(DueAnswer answer, DistanceUnit unit)
    {
        foreach (var limit in answer.Limits)
        {
            if (limit is { Standing: LimitStanding.Counts, Measure: LimitMeasure.Distance, ReachedAt: { } at }
                && limit.Level == answer.Governing?.Level)
            {
                return $", or at {Whole(new Distance(at), unit)}";
            }
        }

        return "";
    }

    private static bool AsksForAge(DueAnswer answer) =>
        answer.Asks is [
        {
            Code: DueAskCode.WhenBuilt or DueAskCode.ReadMark or DueAskCode.WhichReading or DueAskCode.MadeOrExpires
            or DueAskCode.WhenStarted,
        }, ..];

    private static string Verb(PartKind kind) => (kind.Form, kind.Task) switch
    {
        (PartForm.ServiceTask, TaskType.Servicing) => "renew",
        (PartForm.ServiceTask, TaskType.FunctionalCheck) => "do",
        (PartForm.ServiceTask, _) => "service",
        (_, TaskType.Restoration) => "overhaul or replace",
        _ => "replace",
    };

    private static string Part(DigestItem item)
    {
        // A remark such as "(task)" tells the kind of work, which the verb says already.
        var name = item.Kind.Name.Split(" (task", 2)[0];
        var lower = name.Length > 1 && char.IsUpper(name[0]) && char.IsLower(name[1])
            ? char.ToLowerInvariant(name[0]) + name[1..]
            : name;
        return string.IsNullOrWhiteSpace(item.Position) ? lower : $"{lower} ({item.Position})";
    }

    private static string Place(DigestItem item) => item.Vehicle is { } vehicle ? $"of {vehicle}" : "on the shelf";

    private static string Whole(Distance distance, DistanceUnit unit) =>
        string.Create(
            CultureInfo.InvariantCulture, $"{distance.In(unit):0} {(unit == DistanceUnit.Mile ? "mi" : "km")}");

    private static string Capital(string words) => char.ToUpperInvariant(words[0]) + words[1..];
}
