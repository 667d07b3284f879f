using System.Globalization;
using System.Runtime.CompilerServices;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>The one place where an answer becomes sentences. Each can be checked by hand against the facts.</summary>
internal static class DueSentences
{
    /// <summary>Stands at the end of every explanation.</summary>
    public const string Caution =
        "The vehicle maker's figures, local law and a licensed person's inspection come before this answer.";

    public static IReadOnlyList<string> Reasons(DueAnswer answer)
    {
        List<string> reasons = new(
            answer.Limits.Count + answer.Notes.Count + 4) { Verdict(answer), Sentence(answer.Basis) };
        foreach (var limit in answer.Limits)
        {
            reasons.Add(Sentence(limit));
        }

        if (answer.Usage is { } usage)
        {
            reasons.AddRange(usage.Sentences(answer.Question.Vehicle.DistanceUnit));
        }

        foreach (var note in answer.Notes)
        {
            reasons.Add(Sentence(note, answer));
        }

        if (answer.DeferralStanding != DeferralStanding.None)
        {
            reasons.Add(Deferred(answer));
        }

        reasons.Add(Caution);
        return reasons;
    }

    public static IReadOnlyList<string> Questions(DueAnswer answer)
    {
        if (answer.Asks.Count == 0)
        {
            return [];
        }

        var questions = new string[answer.Asks.Count];
        for (var i = 0; i < questions.Length; i++)
        {
            questions[i] = Sentence(answer.Asks[i]);
        }

        return questions;
    }

    private static string Verdict(DueAnswer answer)
    {
        DefaultInterpolatedStringHandler text = new(64, 6, CultureInfo.InvariantCulture);
        text.AppendLiteral("On ");
        text.AppendFormatted(answer.AsOf, "O");
        text.AppendLiteral(" it is ");
        text.AppendLiteral(Words.ItIs(answer.State));
        text.AppendLiteral(answer switch
        {
            { State: DueState.Unknown } when answer.AsOf < answer.Born.Span?.First =>
                ": it had not been made, and unknown is never good",
            { State: DueState.Unknown } => ": a limit counts whose day cannot be told, and unknown is never good",
            { State: DueState.InLife, Governing: null } => ": nothing comes due",
            { State: DueState.InLife } => "; first comes: ",
            { Governing.Standing: LimitStanding.NoBasis } => ", possibly: when to look cannot be told; it rests on: ",
            { Certainty: Certainty.Certain } => ", for certain; it rests on: ",
            _ => ", possibly: the earliest day has come, the latest has not; it rests on: ",
        });
        if (answer is { Governing: { } governing, State: not DueState.Unknown })
        {
            Describe(ref text, governing);
        }

        text.AppendLiteral(".");
        return text.ToStringAndClear();
    }

    /// <summary>What the age rests on.</summary>
    public static string Sentence(DueBasis basis)
    {
        var born = basis.Born;
        DefaultInterpolatedStringHandler text = new(96, 6, CultureInfo.InvariantCulture);
        if (basis.IsTask)
        {
            text.AppendLiteral(born switch
            {
                { Span: null } => "It is not on record as done, and when the vehicle was built is not known.",
                { Basis: EvidenceKind.Presumption } =>
                    "It is not on record as done, so it is taken to be as old as the vehicle, built ",
                _ => "It was last done on ",
            });
        }
        else if (born.Readings.Count > 0)
        {
            text.AppendLiteral(born.Basis == EvidenceKind.Plate ? "The plate" : "The mark");
            AppendQuoted(ref text, born.Evidence?.Text);
            text.AppendLiteral(born.Readings.Count == 1 ? " says it was made " : " can mean ");
            var isMargin = false;
            for (var i = 0; i < born.Readings.Count; i++)
            {
                text.AppendLiteral(i == 0 ? "" : i + 1 < born.Readings.Count ? ", " : " or ");
                Append(ref text, born.Readings[i].Days);
                if (born.Readings[i].Convention is { } convention)
                {
                    text.AppendLiteral(" (");
                    text.AppendLiteral(convention);
                    text.AppendLiteral(")");
                }

                if (born.Readings[i].MarginMonths is > 0 and var margin)
                {
                    text.AppendLiteral(", give or take ");
                    text.AppendFormatted(margin);
                    text.AppendLiteral(margin == 1
                        ? $" month ({Words.Of(Tag.Practice)})"
                        : $" months ({Words.Of(Tag.Practice)})");
                    isMargin = true;
                }
            }

            text.AppendLiteral(born.Readings.Count == 1 ? "" : "; the earliest counts");
            if (isMargin)
            {
                text.AppendLiteral(born.Readings.Count == 1 ? "; it counts from " : ", from ");
                text.AppendFormatted(born.Span!.Value.First, "O");
            }

            AppendSaid(ref text, born.Evidence);
            text.AppendLiteral(".");
            return text.ToStringAndClear();
        }
        else
        {
            text.AppendLiteral(born.Basis switch
            {
                null => "Nothing tells when it was made, and when the vehicle was built is not known.",
                EvidenceKind.Presumption =>
                    "Nothing proves that it is younger: it is taken to be as old as the vehicle, built ",
                EvidenceKind.Document => "No mark is read; a document shows that it existed on ",
                _ => "No mark is read; it was fitted on ",
            });
            if (born is { Basis: EvidenceKind.Document or EvidenceKind.Fitted, Span: { } made })
            {
                var shelf = basis.Shelf;
                var told = born.Evidence?.On ?? made.Last;
                text.AppendFormatted(told, "O");
                AppendSaid(ref text, born.Evidence);
                if (made.Last < told)
                {
                    text.AppendLiteral(", and it was there by ");
                    text.AppendFormatted(made.Last, "O");
                }

                text.AppendLiteral(", so it was made ");
                Append(ref text, made);
                text.AppendLiteral(": up to ");
                text.AppendFormatted(shelf.Value);
                text.AppendLiteral(" months on the shelf");
                AppendTag(ref text, shelf.Tag, shelf.Reference);
                text.AppendLiteral(".");
                return text.ToStringAndClear();
            }
        }

        if (born.Span is { } span)
        {
            Append(ref text, span);
            text.AppendLiteral(".");
        }

        return text.ToStringAndClear();
    }

    /// <summary>One limit in one sentence.</summary>
    public static string Sentence(AssessedLimit limit)
    {
        DefaultInterpolatedStringHandler text = new(96, 8, CultureInfo.InvariantCulture);
        Describe(ref text, limit);
        switch (limit.Standing)
        {
            case LimitStanding.Counts:
                break;
            case LimitStanding.Beaten:
                text.AppendLiteral("; it does not count, for ");
                text.AppendLiteral(Words.Of(limit.BeatenBy!.Tag));
                text.AppendLiteral(" takes precedence");
                break;
            case LimitStanding.Met:
                text.AppendLiteral("; an inspection has answered it");
                break;
            case LimitStanding.NoBasis:
                text.AppendLiteral("; the facts do not tell when");
                break;
            case LimitStanding.Never:
                text.AppendLiteral("; at the present rate it is never reached");
                break;
        }

        text.AppendLiteral(".");
        return text.ToStringAndClear();
    }

    private static void Describe(ref DefaultInterpolatedStringHandler text, AssessedLimit limit)
    {
        text.AppendLiteral(Words.Demand(limit.Level));
        switch (limit.Measure)
        {
            case LimitMeasure.Condition when limit.Finding is { } finding:
                text.AppendLiteral(" at once, found ");
                text.AppendLiteral(limit.Level == LimitLevel.StopUse ? "unfit" : "failed");
                AppendQuoted(ref text, finding.Sign);
                AppendMeasured(ref text, finding);
                text.AppendLiteral(" on ");
                text.AppendFormatted(finding.On, "O");
                return;
            case LimitMeasure.Condition when limit.Happening is { } happening:
                text.AppendLiteral(happening.Event == LifeEvent.Fire ? " after the fire of " : " after the crash of ");
                text.AppendFormatted(happening.On, "O");
                text.AppendLiteral(", until a competent person has passed it");
                break;
            case LimitMeasure.Condition when limit.Limit.ReviewOn is not null:
                text.AppendLiteral(" it and review the rule that was set for it");
                break;
            case LimitMeasure.Condition when limit.Limit.Months is null:
                text.AppendLiteral(" after heat that no computed day can be trusted with");
                break;
            case LimitMeasure.Condition:
                text.AppendLiteral(" at once, stored longer than ");
                text.AppendFormatted(limit.Limit.Months);
                text.AppendLiteral(" months before it was fitted");
                break;
            case LimitMeasure.PrintedDay:
                text.AppendLiteral(" after the printed last day");
                break;
            default:
                text.AppendLiteral(" ");
                AppendNumber(ref text, limit.Number ?? 0);
                text.AppendLiteral(" ");
                text.AppendLiteral(limit.Unit);
                if (limit.Measure == LimitMeasure.Distance && limit.UnitOfCar != limit.Limit.DistanceUnit)
                {
                    text.AppendLiteral(" (");
                    AppendNumber(ref text, Rounded(limit.Limit.Distance!.Value, limit.UnitOfCar));
                    text.AppendLiteral(" ");
                    text.AppendLiteral(UsageSentences.Name(limit.UnitOfCar));
                    text.AppendLiteral(")");
                }

                text.AppendLiteral(" from ");
                text.AppendLiteral(Words.Of(limit.Anchor));
                AppendEnd(ref text, limit.Limit.EndRule);
                break;
        }

        AppendTag(ref text, limit.Tag, limit.Reference);
        if (limit.Due is { } due)
        {
            text.AppendLiteral(", due ");
            Append(ref text, due);
            if (limit.Likely is { } likely)
            {
                text.AppendLiteral(", likely ");
                text.AppendFormatted(likely, "O");
            }
        }

        if (limit is { ReachedAt: { } at, Measure: LimitMeasure.Distance })
        {
            text.AppendLiteral(", at ");
            AppendNumber(ref text, Rounded(new Distance(at), limit.UnitOfCar));
            text.AppendLiteral(" ");
            text.AppendLiteral(UsageSentences.Name(limit.UnitOfCar));
            text.AppendLiteral(" on the odometer");
        }
    }

    private static decimal Rounded(Distance distance, DistanceUnit unit) =>
        Math.Round(distance.In(unit), MidpointRounding.AwayFromZero);

    private static string Sentence(DueNote note, DueAnswer answer) => note.Code switch
    {
        DueNoteCode.ReadingDropped =>
            $"The mark{Quoted(note.Evidence?.Text)} cannot mean {Span(note.Days)}: it would be made later than it "
                + $"was seen, known or fitted by the factory.",
        DueNoteCode.MarkImpossible when note.Detail is { } why =>
            $"The mark{Quoted(note.Evidence?.Text)} is kept and does not count. {why}",
        DueNoteCode.ReadingRemote =>
            $"The mark{Quoted(note.Evidence?.Text)} could also mean {note.Detail}: remote, and it does not govern "
                + $"while a nearer reading stands. {note.Bound!.Value.Sentence} Naming the convention lifts this.",
        DueNoteCode.OlderThanVehicle =>
            $"An oddity: it would be made {Span(note.Days)}, more than ten years before the vehicle was built. Look at "
                + $"the mark again.",
        DueNoteCode.MarkImpossible =>
            $"No reading of the mark{Quoted(note.Evidence?.Text)} is possible; it is kept and does not count.",
        DueNoteCode.MarkUnread => $"The mark{Quoted(note.Evidence?.Text)} could not be read.",
        DueNoteCode.EvidenceDisagrees when note.Days is null =>
            $"The evidence disagrees: the mark{Quoted(note.Evidence?.Text)} would make it younger than other "
                + $"evidence allows. All of it is kept, and the earliest governs.",
        DueNoteCode.EvidenceDisagrees =>
            $"The evidence disagrees: the mark{Quoted(note.Evidence?.Text)} says {Span(note.Days)}, another mark "
                + $"does not. All of it is kept, and the earliest governs.",
        DueNoteCode.FactSetAside =>
            $"A fact dated {Span(note.Days)} lies after the day on which the facts are stated and is set aside.",
        DueNoteCode.StoredTooLong =>
            $"Made {Span(note.Days)}, it lay on the shelf longer than {answer.Question.Kind.StorageLimit!.Value} "
                + $"months before it was fitted.",
        DueNoteCode.ThresholdBroken or DueNoteCode.ThresholdNear => Broken(note, answer),
        DueNoteCode.NotCompared =>
            $"The measured value of {note.Finding!.On:O} names no quantity or unit that can be compared with the "
                + $"kind's thresholds.",
        DueNoteCode.FindingAnswered =>
            $"The finding of {note.Finding!.On:O} is answered by the work of {Span(note.Days)}.",
        DueNoteCode.NotYetMade =>
            $"On {answer.AsOf:O} it did not exist: it was made on {note.Days!.Value.First:O} at the earliest.",
        DueNoteCode.FindingPassedLater =>
            $"The finding of {note.Finding!.On:O} is answered: on {Span(note.Days)} a later look passed it.",
        DueNoteCode.OverrunDeducted =>
            $"The work was done late; the overrun is taken off the next interval, which counts from {note.Detail}.",
        DueNoteCode.ShorterNumberBeaten =>
            $"Take note: the shorter number ({Words.Of(note.Limit!.Tag)}) does not count only because a number of "
                + $"higher precedence stands beside it.",
        DueNoteCode.Exposed => $"A temperature history shortens the life: {note.Detail}.",
        DueNoteCode.ExposedTooHot =>
            $"It was kept so warm that no computed day can be trusted: inspect it now ({note.Detail}).",
        DueNoteCode.HarshStorage =>
            $"How the vehicle is kept halves the inspection interval ({Words.Of(Tag.Practice)}).",
        DueNoteCode.HappeningAnswered => $"It was tested after what happened on {Span(note.Days)}.",
        DueNoteCode.LegalDayNotKnown when note.Days is null =>
            $"The vehicle's registration of {answer.Question.Vehicle.RegisteredOn:O} is not the part's own legal "
                + $"day, for it was on another vehicle before; nothing tells when its legal clock started.",
        DueNoteCode.LegalDayNotKnown =>
            $"The vehicle's registration of {answer.Question.Vehicle.RegisteredOn:O} is not the part's own legal "
                + $"day; without that it counts from {note.Days.Value.First:O}, the earliest day it can have been "
                + $"made.",
    };

    private static string Broken(DueNote note, DueAnswer answer)
    {
        foreach (var threshold in answer.Question.Kind.Thresholds)
        {
            if (threshold.Id != note.Detail)
            {
                continue;
            }

            var measured = note.Finding!.Measured!.Value;
            var must = threshold switch
            {
                { Use: ThresholdUse.Scale } => "reads low at",
                { Comparison: Comparison.AtLeast } => "must be at least",
                { Comparison: Comparison.AtMost } => "must be at most",
                { Comparison: Comparison.Below } => "must be less than",
                { Comparison: Comparison.Within } => "must be between",
                _ => "must not pass",
            };
            var upper = threshold.UpTo is { } top ? $" and {top:0.####}" : "";
            var where = threshold.Jurisdictions.Count > 0 ? $" in {string.Join(", ", threshold.Jurisdictions)}" : "";
            var doubt = note.Code == DueNoteCode.ThresholdNear && threshold.Use == ThresholdUse.Criterion
                ? "; for its class or quantity another line may hold, so it is watched"
                : "";
            return $"On {note.Finding.On:O} {threshold.Quantity} was {measured.Value:0.####} {measured.Unit}; it "
                + $"{must} "
                + $"{threshold.Value:0.####}{upper} {threshold.Unit}{where} ({Words.Of(threshold.Tag)}, "
                + $"{threshold.Reference}){doubt}.";
        }

        throw new System.Diagnostics.UnreachableException();
    }

    private static string Deferred(DueAnswer answer)
    {
        var deferral = answer.Question.Subject.Deferral!;
        return answer.DeferralStanding switch
        {
            DeferralStanding.Running =>
                $"{deferral.Person} has put it off until {answer.DeferredUntil:O}: {deferral.Reason}. The state is "
                    + $"the same.",
            DeferralStanding.Ended =>
                $"{deferral.Person} had put it off until {answer.DeferredUntil:O}; that has ended.",
            DeferralStanding.Refused => "It was put off, but its kind may never be; that counts for nothing.",
            DeferralStanding.None => "",
        };
    }

    public static string Sentence(DueAsk ask) => ask.Code switch
    {
        DueAskCode.WhenBuilt => "When was the vehicle built?",
        DueAskCode.ReadMark => "What does the date mark on the part say? It decides more than any paper.",
        DueAskCode.WhichReading =>
            $"Which reading of the mark is right? It decides between "
                + $"{string.Join(" and ", ask.Readings!.Select(reading => Span(reading.Days)))}.",
        DueAskCode.MadeOrExpires =>
            $"Do the words beside the mark{Quoted(ask.Detail)} say made, or not valid after? Write them with the mark: "
                + $"it decides between {string.Join(" and ", ask.Readings!.Select(reading =>
                    (reading.IsExpiry ? "good until " : "made ") + Span(reading.Days)))}.",
        DueAskCode.WhenStarted => $"When was {ask.Detail}?",
        DueAskCode.ReadOdometer => "What does the odometer show today, or how far does it go in a year?",
        DueAskCode.OdometerAtStart => $"What did the odometer show on {Span(ask.Days)}?",
        DueAskCode.OpenGap =>
            $"What did the odometers show between {Span(ask.Days)}? The distance can be read in several ways.",
        DueAskCode.EarlierDistance => "How far did the part run before its present fitting?",
        DueAskCode.ReadHours => "What does the hours meter show today, and what did it show when the clock started?",
        DueAskCode.WhatReference =>
            "Where does the rule that was set for it come from? With document and place it is the law's, the label's, "
                + "the maker's or the standard's; until then it is a rule of one's own and due for review.",
        DueAskCode.WhatLimit => "No limit is known for it. What does the maker give?",
        DueAskCode.CheckReading => $"Is the reading {ask.Detail} right?",
        DueAskCode.WhichCase => $"Of which class is what was measured: {ask.Detail}?",
        DueAskCode.MarkOrFact =>
            $"Which is right: the mark{Quoted(ask.Detail)}, or that the part was there on {Span(ask.Days)}?",
        DueAskCode.WhichQuantity => $"Which quantity was measured: {ask.Detail}?",
    };

    /// <summary>The first few of many spans.</summary>
    public static string Several(IReadOnlyList<DateSpan> days) =>
        string.Join(", ", days.Take(4).Select(span => Span(span)))
            + (days.Count > 4 ? string.Create(CultureInfo.InvariantCulture, $" and {days.Count - 4} more") : "");

    private static string Span(DateSpan? days) =>
        days is not { } span ? ""
        : span.IsOneDay ? $"{span.First:O}"
        : span.Last == DateOnly.MaxValue ? $"{span.First:O} or later"
        : $"{span.First:O} to {span.Last:O}";

    private static string Quoted(string? text) => string.IsNullOrEmpty(text) ? "" : $" \"{text}\"";

    private static void AppendQuoted(ref DefaultInterpolatedStringHandler text, string? quoted)
    {
        if (!string.IsNullOrEmpty(quoted))
        {
            text.AppendLiteral(" \"");
            text.AppendLiteral(quoted);
            text.AppendLiteral("\"");
        }
    }

    private static void AppendMeasured(ref DefaultInterpolatedStringHandler text, Finding finding)
    {
        if (finding.Measured is { } measured)
        {
            text.AppendLiteral(" at ");
            text.AppendFormatted(measured.Value, "0.####");
            text.AppendLiteral(" ");
            text.AppendLiteral(measured.Unit);
        }
    }

    private static void AppendSaid(ref DefaultInterpolatedStringHandler text, Evidence? evidence)
    {
        if (evidence?.NotedBy is { } by)
        {
            text.AppendLiteral(", noted by ");
            text.AppendLiteral(by);
        }

        if (evidence?.NotedOn is { } on)
        {
            text.AppendLiteral(", noted on ");
            text.AppendFormatted(on, "O");
        }
    }

    private static void AppendTag(ref DefaultInterpolatedStringHandler text, Tag tag, string? reference)
    {
        text.AppendLiteral(" (");
        text.AppendLiteral(Words.Of(tag));
        if (reference is not null)
        {
            text.AppendLiteral(", ");
            text.AppendLiteral(reference);
        }

        text.AppendLiteral(")");
    }

    // The pattern with decimals takes several times as long as whole numbers, and nearly every number is whole.
    private static void AppendNumber(ref DefaultInterpolatedStringHandler text, decimal number)
    {
        if (decimal.IsInteger(number) && number < 1000)
        {
            text.AppendFormatted((int)number);
        }
        else if (decimal.IsInteger(number) && number < 1_000_000_000)
        {
            text.AppendFormatted((int)number / 1000, "N0");
            text.AppendLiteral(",");
            text.AppendFormatted((int)number % 1000, "D3");
        }
        else
        {
            text.AppendFormatted(number, "#,0.###");
        }
    }

    private static void AppendEnd(ref DefaultInterpolatedStringHandler text, EndRule rule) =>
        text.AppendLiteral(rule switch
        {
            EndRule.Day => "",
            EndRule.MonthEnd => ", to the end of the month",
            EndRule.YearEnd => ", to the end of the year",
        });

    private static void Append(ref DefaultInterpolatedStringHandler text, DateSpan span)
    {
        text.AppendFormatted(span.First, "O");
        if (!span.IsOneDay)
        {
            text.AppendLiteral(span.Last == DateOnly.MaxValue ? " at the earliest" : " to ");
            if (span.Last != DateOnly.MaxValue)
            {
                text.AppendFormatted(span.Last, "O");
            }
        }
    }
}
