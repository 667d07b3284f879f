using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>What the odometer and the hours meter can show.</summary>
internal static partial class Suppositions
{
    /// <summary>In the unit of the car; a car that stands, one of fine Sundays, one of every day, a taxi.</summary>
    private static readonly int[] Yearly = [0, 1_000, 10_000, 60_000];

    private static readonly int[] Earlier = [0, 10_000, 100_000, 300_000];

    private static readonly int[] Hours = [0, 10, 100, 1_000];

    private static IEnumerable<(string Answer, DueQuestion Question)> Rates(DueAnswer now)
    {
        if (now.Usage is not { } usage)
        {
            yield break;
        }

        var today = now.Question.Today ?? Today(now.Question);
        foreach (var yearly in Yearly)
        {
            var unit = usage.Last?.Shown.Unit ?? now.Question.Vehicle.DistanceUnit;
            yield return (
                Text($"{yearly:#,0} {UsageSentences.Name(unit)} a year"),
                now.Question with
                {
                    Usage = usage.Supposed(Text($"{yearly} a year until {today:O}"), facts => facts with
                    {
                        DeclaredPerYear = Distance.Of(yearly, unit),
                        Readings = usage.Last?.Shown is { } last && last.On < today
                            ? [
                                .. facts.Readings,
                                last with
                                {
                                    On = today,
                                    Value = decimal.Round(
                                        last.Value + yearly * (today.DayNumber - last.On.DayNumber) / 365.25m),
                                },
                            ]
                            : facts.Readings,
                    }),
                });
        }
    }

    /// <summary>As little and as much as the readings before and after it allow.</summary>
    private static IEnumerable<(string Answer, DueQuestion Question)> AtStart(DueAnswer now, DateSpan? days)
    {
        if (now.Usage is not { Last: not null } usage || days is not { First: var on })
        {
            yield break;
        }

        var readings = usage.Distance.Readings;
        var before = readings.LastOrDefault(reading => reading.On <= on)?.Shown;
        var after = readings.FirstOrDefault(reading => reading.On >= on)?.Shown;
        const decimal MostYearly = 60_000;
        ShownDistance[] shown =
        [
            before ?? after! with { Value = 0 },
            after ?? before! with
            {
                Value = decimal.Round(before.Value + MostYearly * (on.DayNumber - before.On.DayNumber) / 365.25m),
            },
        ];
        if (shown[0].Instrument == shown[1].Instrument)
        {
            var (least, most) = (shown[0].Value, shown[1].Value);
            shown = [.. Enumerable.Range(0, 5).Select(part => shown[0] with
            {
                Value = decimal.Round(least + (most - least) * part / 4, 1),
            })];
        }

        foreach (var one in shown.Select(reading => reading with { On = on }).Distinct())
        {
            yield return (
                Text($"{one.Value:#,0.#} {UsageSentences.Name(one.Unit)}"),
                now.Question with
                {
                    Usage = usage.Supposed(
                        Text($"{one.Value} {one.Unit} {one.Instrument} on {on:O}"),
                        facts => facts with { Readings = [.. facts.Readings, one] }),
                });
        }
    }

    private static IEnumerable<(string Answer, DueQuestion Question)> Gaps(DueAnswer now, DateSpan? days)
    {
        if (now.Usage is not { } usage
            || usage.Distance.Gaps.FirstOrDefault(gap => new DateSpan(gap.From, gap.Until) == days) is not { } gap)
        {
            yield break;
        }

        var unit = now.Question.Vehicle.DistanceUnit;
        foreach (var part in new[] { 0m, 0.5m, 1m })
        {
            var (least, most) = (gap.Increments[0].In(unit), gap.Increments[^1].In(unit));
            var driven = least + (most - least) * part;
            yield return (
                Text($"{driven:#,0} {UsageSentences.Name(unit)} between them"),
                now.Question with
                {
                    Usage = usage.Supposed(
                        Text($"{part} of {gap.From:O}/{gap.Until:O}"),
                        usage.Distance.Closed(gap, part), contradictions: true),
                });
        }
    }

    private static IEnumerable<(string Answer, DueQuestion Question)> Doubted(DueAnswer now, ShownDistance doubted)
    {
        if (now.Usage is not { } usage)
        {
            yield break;
        }

        yield return ("no", now.Question with
        {
            Usage = usage.Supposed(
                $"without {doubted}",
                facts => facts with { Readings = [.. facts.Readings.Where(reading => reading != doubted)] }),
        });
        var track = usage.Distance.Alternatives
            .FirstOrDefault(other => other.Readings.Any(reading => reading.Shown == doubted));
        yield return ("yes", now.Question with
        {
            Usage = track is not null
                ? usage.Supposed($"with {doubted}", track, contradictions: false)
                : usage.Supposed($"with {doubted}", facts => facts with
                {
                    Readings = [.. facts.Readings.Where(reading => !Contradicts(reading, doubted))],
                }),
        });
    }

    /// <summary>It shows more before the other, or less after it, on the same instrument.</summary>
    private static bool Contradicts(ShownDistance one, ShownDistance other)
    {
        var (mine, others) = (Distance.Of(one.Value, one.Unit), Distance.Of(other.Value, other.Unit));
        return one.Instrument == other.Instrument
            && (one.On <= other.On && mine > others || one.On >= other.On && mine < others);
    }

    private static IEnumerable<(string Answer, DueQuestion Question)> EarlierDistances(DueQuestion question)
    {
        if (question.Subject is not ComponentFacts part)
        {
            yield break;
        }

        var unit = question.Vehicle.DistanceUnit;
        foreach (var ran in Earlier)
        {
            yield return (
                Text($"{ran:#,0} {UsageSentences.Name(unit)}"),
                question with
                {
                    Subject = part with
                    {
                        Stays = [.. part.Stays.Select(stay =>
                            stay is { Until: not null, Distance: null }
                                ? stay with { Distance = Distance.Of(ran, unit) }
                                : stay)],
                    },
                });
        }
    }

    private static IEnumerable<(string Answer, DueQuestion Question)> HoursShown(DueAnswer now, DateSpan? days)
    {
        var question = now.Question;
        var today = question.Today ?? Today(question);
        var shown = question.Vehicle.HoursReadings.Concat(question.Subject.ShownHours).ToArray();
        var start = days?.First ?? today;
        var least = shown.Where(one => one.On <= start).Select(one => one.Hours).DefaultIfEmpty().Max();
        var most = shown.Where(one => one.On >= start).Select(one => one.Hours).DefaultIfEmpty(least).Min();
        foreach (var then in least == most ? [least] : new[] { least, most })
        {
            var last = shown.Select(one => one.Hours).Append(then).Max();
            foreach (var ran in Hours)
            {
                yield return (
                    Text($"{last + ran:#,0.#} today, {then:#,0.#} on {start:O}"),
                    question with
                    {
                        Vehicle = question.Vehicle with
                        {
                            HoursReadings =
                            [
                                .. question.Vehicle.HoursReadings, new(start, then), new(today, last + ran),
                            ],
                        },
                        Subject = question.Subject is ComponentFacts part
                            ? part with
                            {
                                Stays = [.. part.Stays.Select(stay =>
                                    stay.Until is null || stay.Hours is not null ? stay : stay with { Hours = 0 })],
                            }
                            : question.Subject,
                    });
            }
        }
    }
}
