using System.Globalization;

namespace AgeWatch.Core.Due;

/// <summary>The answers that a question can have, each as the facts would stand then.</summary>
/// <remarks>
/// Where any day can be the answer, one is supposed between each two of the numbers of the subject's limits, and the
/// latest and the earliest that can be true; where any amount can be, some that cars show. Common practice, no source.
/// </remarks>
internal static partial class Suppositions
{
    /// <summary>Without a car to compare with a part is not supposed to be older.</summary>
    private const int OldestYears = 60;

    private const int MonthsBeforeItsCar = 120;

    public static IEnumerable<(string Answer, DueQuestion Question)> Of(DueAsk ask, DueAnswer now)
    {
        var question = now.Question;
        return ask.Code switch
        {
            DueAskCode.WhenBuilt => Days(now, Oldest(null)).Select(day => (
                Text($"in {day.Year}"),
                question with { Vehicle = question.Vehicle with { Built = DateSpan.Year(day.Year) } })),
            DueAskCode.ReadMark => Days(now, Oldest(now.Born.VehicleBuilt ?? question.Vehicle.Built))
                .Select(day => (Text($"made {day:yyyy-MM}"), Add(question, MadeOn(day)))),
            DueAskCode.WhichReading => ask.Readings!.Select(reading => (
                Text($"made {Words(reading.Days)}"), OnlyReading(question, reading))),
            DueAskCode.MadeOrExpires => MadeOrExpires(question, ask),
            DueAskCode.WhenStarted => Days(now, question.Vehicle.Built?.First ?? Oldest(null)).Select(day => (
                Text($"on {day:O}"), Started(question, ask.Starts, day))),
            DueAskCode.ReadOdometer => Rates(now),
            DueAskCode.OdometerAtStart => AtStart(now, ask.Days),
            DueAskCode.OpenGap => Gaps(now, ask.Days),
            DueAskCode.CheckReading => Doubted(now, ask.Doubted!),
            DueAskCode.EarlierDistance => EarlierDistances(question),
            DueAskCode.ReadHours => HoursShown(now, ask.ClockFrom),
            DueAskCode.WhatLimit => new[] { 12, 60, 120 }.Select(months => (
                Text($"{months} months"), WithLimit(question, months))),
            DueAskCode.WhichQuantity or DueAskCode.WhichCase => Measured(question, ask),
            DueAskCode.MarkOrFact => MarkOrFact(question),
            DueAskCode.WhatReference => new[] { Tag.Law, Tag.Maker }.Select(tag => (
                Text($"a {TagWords.Of(tag)}"), WithLimits(question, Sourced(question.Subject.OwnLimits, tag)))),
            _ => throw new System.Diagnostics.UnreachableException(),
        };

        DateOnly Oldest(DateSpan? built)
        {
            var first = built is { } car && !question.Kind.FitsAnyCar
                ? (ExistedOn(question) is { } on && on < car.First ? on : car.First)
                    .PlusMonthsClamped(-MonthsBeforeItsCar)
                : Today(question).PlusMonthsClamped(-12 * OldestYears);
            return question.Kind.FirstMade is { } made && new DateOnly(made.Year, 1, 1) is var since && since > first
                ? since
                : first;
        }
    }

    /// <summary>Nothing that is asked can have happened later.</summary>
    private static DateOnly Today(DueQuestion question) =>
        question.KnownOn < question.AsOf ? question.KnownOn.Value : question.AsOf;

    private static DateOnly? ExistedOn(DueQuestion question) =>
        question.Subject is ComponentFacts part ? Existence.Of(part, new(question.KnownOn)).ExistedOn : null;

    private static IEnumerable<DateOnly> Days(DueAnswer now, DateOnly oldest)
    {
        var latest = Today(now.Question);
        SortedSet<int> months = [0, .. now.Limits.Select(limit => limit.Limit.Months).OfType<int>()];
        SortedSet<DateOnly> days = [latest, oldest < latest ? oldest : latest];
        var before = 0;
        foreach (var number in months)
        {
            Add(now.AsOf.PlusMonthsClamped(-(before + number) / 2));
            before = number;
        }

        Add(now.AsOf.PlusMonthsClamped(-before - 1));

        // What a part is known to have been there on, and the last day on which it can have been new then.
        if (ExistedOn(now.Question) is { } on)
        {
            Add(on);
            foreach (var number in months)
            {
                Add(on.PlusMonthsClamped(-number - 1));
            }
        }

        return days.Reverse();

        void Add(DateOnly day)
        {
            if (day > oldest && day < latest)
            {
                days.Add(day);
            }
        }
    }

    private static Evidence MadeOn(DateOnly day) =>
        new() { Kind = EvidenceKind.Mark, Readings = [new(DateSpan.Day(day)) { IsNamed = true }] };

    private static DueQuestion Add(DueQuestion question, Evidence evidence) =>
        question.Subject is ComponentFacts part
            ? question with { Subject = part with { Evidence = [.. part.Evidence, evidence] } }
            : question;

    private static DueQuestion Change(DueQuestion question, Func<Evidence, Evidence> change) =>
        question.Subject is ComponentFacts part
            ? question with { Subject = part with { Evidence = [.. part.Evidence.Select(change)] } }
            : question;

    /// <summary>The mark that has the reading means it, and what other marks say of manufacture is wrong.</summary>
    private static DueQuestion OnlyReading(DueQuestion question, EvidenceReading right) =>
        Change(question, evidence => evidence.Readings.Count == 0 ? evidence
            : evidence.Readings.Contains(right)
            ? evidence with { Readings = [right with { IsNamed = true, IsKindUnsure = false }] }
            : evidence with { Readings = [.. evidence.Readings.Where(reading => reading.IsExpiry)] });

    private static IEnumerable<(string Answer, DueQuestion Question)> MadeOrExpires(DueQuestion question, DueAsk ask)
    {
        foreach (var isExpiry in new[] { false, true })
        {
            var told = ask.Readings!.Any(reading => reading.IsExpiry == isExpiry)
                ? ask.Readings!.Where(reading => reading.IsExpiry == isExpiry)
                : ask.Readings!.Select(reading => reading with { IsExpiry = isExpiry });
            EvidenceReading[] kept = [.. told.Select(reading => reading with { IsKindUnsure = false })];
            yield return (
                isExpiry ? "not valid after" : "made",
                Change(question, evidence => evidence.Readings.Contains(ask.Readings![0]) && evidence.Text == ask.Detail
                    ? evidence with { Readings = kept }
                    : evidence));
        }
    }

    private static DueQuestion Started(DueQuestion question, AgeAnchor? clock, DateOnly day) =>
        question.Subject is ServiceTaskFacts task
            ? question with { Subject = task with { Done = [.. task.Done, new() { On = day }] } }
            : Add(question, new()
            {
                Kind = clock switch
                {
                    AgeAnchor.Fitting => EvidenceKind.Fitted,
                    AgeAnchor.Fill => EvidenceKind.Fill,
                    AgeAnchor.Regulatory => EvidenceKind.Regulatory,
                    _ => EvidenceKind.Service,
                },
                On = day,
            });

    private static DueQuestion WithLimit(DueQuestion question, int months) => WithLimits(
        question,
        [.. question.Subject.OwnLimits, Limit.Age(LimitLevel.ReplaceBy, question.Kind.Clock, months, Tag.Maker)]);

    // A rule without a reason was once told as another's number.
    private static Limit[] Sourced(IReadOnlyList<Limit> limits, Tag tag) =>
        [.. limits.Select(limit => limit is { Tag: Tag.Own, Reason: null }
            ? limit with { Tag = tag, Reference = "told", ReviewOn = null }
            : limit)];

    private static DueQuestion WithLimits(DueQuestion question, Limit[] limits) => question with
    {
        Subject = question.Subject switch
        {
            ComponentFacts part => part with { OwnLimits = limits },
            ServiceTaskFacts task => task with { OwnLimits = limits },
            _ => throw new System.Diagnostics.UnreachableException(),
        },
    };

    private static IEnumerable<(string Answer, DueQuestion Question)> Measured(DueQuestion question, DueAsk ask)
    {
        var names = ask.Code == DueAskCode.WhichCase
            ? question.Kind.Thresholds.Select(threshold => threshold.Case)
            : question.Kind.Thresholds.Select(threshold => threshold.Measure ?? threshold.Quantity);
        foreach (var name in names.OfType<string>().Distinct())
        {
            var findings = question.Subject.Findings.Select(finding => finding == ask.Finding
                ? finding with
                {
                    Measured = ask.Code == DueAskCode.WhichCase
                        ? finding.Measured!.Value with { Case = name }
                        : finding.Measured!.Value with { Measure = name },
                }
                : finding).ToArray();
            yield return (name, question with
            {
                Subject = question.Subject switch
                {
                    ComponentFacts part => part with { Findings = findings },
                    ServiceTaskFacts task => task with { Findings = findings },
                    _ => throw new System.Diagnostics.UnreachableException(),
                },
            });
        }
    }

    private static IEnumerable<(string Answer, DueQuestion Question)> MarkOrFact(DueQuestion question)
    {
        if (question.Subject is not ComponentFacts part)
        {
            yield break;
        }

        static bool IsMark(Evidence evidence) => evidence.Kind is EvidenceKind.Mark or EvidenceKind.Plate;
        yield return (
            "the mark is wrong",
            question with { Subject = part with { Evidence = [.. part.Evidence.Where(one => !IsMark(one))] } });
        var made = part.Evidence.Where(IsMark).SelectMany(mark => mark.Readings)
            .Where(reading => !reading.IsExpiry).Select(reading => reading.Possible.First).DefaultIfEmpty().Min();
        yield return (
            "the mark is right",
            question with
            {
                Subject = part with
                {
                    Original = false,
                    Evidence = [.. part.Evidence.Where(one => IsMark(one) || !(one.On < made))],
                    Findings = [.. part.Findings.Where(one => one.On >= made)],
                    Stays = [.. part.Stays.Where(stay => !(stay.From < made) && !(stay.Until < made))],
                },
            });
    }

    private static string Words(DateSpan days) =>
        days.IsOneDay ? Text($"{days.First:O}") : Text($"{days.First:O} to {days.Last:O}");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
