using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Tests.Due;

/// <summary>What a person can answer to a question, read from its words: the facts as they stand then.</summary>
internal static class Answers
{
    /// <summary>What a taxi runs.</summary>
    private const decimal MostYearly = 60_000;

    private static readonly decimal[] Amounts =
        [0, 1, 10, 100, 500, 1_000, 3_000, 10_000, 30_000, 60_000, 100_000, 300_000];

    public static IEnumerable<DueQuestion> To(DueAsk ask, DueQuestion q) => ask.Code switch
    {
        DueAskCode.WhenBuilt => Days(q).SelectMany(day => new[] { DateSpan.Day(day), DateSpan.Year(day.Year) })
            .Select(built => q with { Vehicle = q.Vehicle with { Built = built } }),
        DueAskCode.ReadMark => Days(q).Where(day => !(day < Oldest(q))).Select(day =>
            With(q, new Evidence { Kind = EvidenceKind.Mark, Readings = [new(DateSpan.Day(day))] })),
        DueAskCode.WhichReading => ask.Readings!.Select(reading => Only(q, [reading], reading)),
        DueAskCode.MadeOrExpires => new[] { false, true }.Select(expires =>
            Only(q, [.. ask.Readings!.Where(r => r.IsExpiry == expires)], ask.Readings![0])),
        DueAskCode.WhenStarted => Days(q).Where(day => !(day < q.Vehicle.Built?.First))
            .SelectMany(day => Starts(q, ask, day)),
        DueAskCode.ReadOdometer => Amounts.Where(km => km <= MostYearly).SelectMany(yearly => new[]
        {
            q with
            {
                Vehicle = q.Vehicle with { Usage = q.Vehicle.Usage with { DeclaredPerYear = new Distance(yearly) } },
            },
            Read(q, Shown(q, q.AsOf, Last(q) + yearly)),
        }),
        DueAskCode.OdometerAtStart => AtStart(q, ask.Days!.Value.First),
        DueAskCode.OpenGap => new[] { 99_000m, 99_500, 100_000, 101_000, 102_000 }.Select(value => Closed(q, value)),
        DueAskCode.CheckReading => Checked(q, ask.Detail!),
        DueAskCode.EarlierDistance => Amounts.Select(km => q with
        {
            Subject = Component(q) with
            {
                Stays = [.. Component(q).Stays.Select(stay =>
                    stay.Until is null ? stay : stay with { Distance = new Distance(km), Hours = km / 50 })],
            },
        }),
        DueAskCode.ReadHours => Amounts.SelectMany(hours => Days(q).Select(day => q with
        {
            Vehicle = q.Vehicle with { HoursReadings = [new(day, 0), new(q.AsOf, hours)] },
        })),
        DueAskCode.WhatLimit => new[] { 1, 12, 60, 120, 600 }.Select(months => q with
        {
            Subject = q.Subject is ComponentFacts part
                ? part with { OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, q.Kind.Clock, months, Tag.Maker, "p. 1")] }
                : ((ServiceTaskFacts)q.Subject) with
                {
                    OwnLimits = [Limit.Age(LimitLevel.ReplaceBy, q.Kind.Clock, months, Tag.Maker, "p. 1")],
                },
        }),
        DueAskCode.WhichCase or DueAskCode.WhichQuantity => q.Kind.Thresholds
            .SelectMany(threshold => new[] { threshold.Case, null }, (threshold, name) => q with
            {
                Subject = Component(q) with
                {
                    Findings = [.. Component(q).Findings.Select(finding => finding with
                    {
                        Measured = finding.Measured is { } value
                            ? value with { Measure = threshold.Measure ?? threshold.Quantity, Case = name }
                            : null,
                    })],
                },
            }),
        DueAskCode.MarkOrFact =>
        [
            q with
            {
                Subject = Component(q) with { Evidence = [.. Component(q).Evidence.Where(IsMark)], Original = false },
            },
            q with { Subject = Component(q) with { Evidence = [.. Component(q).Evidence.Where(one => !IsMark(one))] } },
        ],
        _ => throw new ArgumentOutOfRangeException(nameof(ask)),
    };

    // The ends first: most often they differ.
    private static IEnumerable<DateOnly> Days(DueQuestion q) =>
        new[] { 0, 2, 720, 240, 120 }.Concat(Enumerable.Range(1, 720)).Select(months => q.AsOf.AddMonths(-months));

    /// <summary>Parts for a car were not made long before it; one of the grid was there since 2004.</summary>
    private static DateOnly? Oldest(DueQuestion q) =>
        q.Vehicle.Built is not { First: var built } || q.Kind.FitsAnyCar ? null
        : Component(q).Stays is not [{ VehicleBuilt: not null }, ..]
            && Component(q).Evidence.Any(one => one.On < built) ? new DateOnly(2004, 1, 1).AddYears(-10)
        : built.AddYears(-10);

    private static bool IsMark(Evidence one) => one.Kind is EvidenceKind.Mark or EvidenceKind.Plate;

    private static ComponentFacts Component(DueQuestion q) => (ComponentFacts)q.Subject;

    private static DueQuestion With(DueQuestion q, Evidence fact) =>
        q with { Subject = Component(q) with { Evidence = [.. Component(q).Evidence, fact] } };

    private static DueQuestion Only(DueQuestion q, EvidenceReading[] kept, EvidenceReading of) => q with
    {
        Subject = Component(q) with
        {
            Evidence = [.. Component(q).Evidence.Select(one => one.Readings.Contains(of)
                ? one with { Readings = [.. kept.Select(reading => reading with { IsKindUnsure = false })] }
                : one)],
        },
    };

    private static IEnumerable<DueQuestion> Starts(DueQuestion q, DueAsk ask, DateOnly day)
    {
        if (q.Subject is ServiceTaskFacts task)
        {
            return [q with { Subject = task with { Done = [.. task.Done, new() { On = day }] } }];
        }

        EvidenceKind[] kinds = ask.Detail switch
        {
            "it fitted" => [EvidenceKind.Fitted],
            "it filled" => [EvidenceKind.Fill],
            "it last done" => [EvidenceKind.Service],
            _ => [EvidenceKind.Regulatory],
        };
        return kinds.Select(kind => With(q, new Evidence { Kind = kind, On = day }));
    }

    /// <summary>Whatever fits between the readings before and after.</summary>
    private static IEnumerable<DueQuestion> AtStart(DueQuestion q, DateOnly on)
    {
        var readings = q.Vehicle.Usage.Readings.Concat(ShownBy(q.Subject)).OrderBy(one => one.On).ToArray();
        var before = readings.LastOrDefault(one => one.On <= on);
        var after = readings.FirstOrDefault(one => one.On >= on
            && (one.Instrument != before?.Instrument || !(one.Value < before?.Value)));
        var near = (before ?? after)!;
        var shownLater = before is not null && after is not null && before.Instrument != after.Instrument
            ? Enumerable.Range(0, 101).Select(part => after with { On = on, Value = after.Value * part / 100 })
            : [];
        return Enumerable.Range(0, 101).Select(part => near with
        {
            On = on,
            Value = (before, after) switch
            {
                (null, { } next) => next.Value * part / 100,
                ({ } last, null) when !readings.Any(one => one.On > on) =>
                    last.Value + MostYearly * (on.DayNumber - last.On.DayNumber) / 365 * part / 100,
                ({ } last, { } next) when last.Instrument == next.Instrument =>
                    last.Value + (next.Value - last.Value) * part / 100,
                _ => near.Value + part,
            },
        }).Concat(shownLater).Select(shown => Read(q, shown));
    }

    private static IEnumerable<ShownDistance> ShownBy(DueSubject subject) => subject switch
    {
        ComponentFacts part => part.Evidence.Select(one => one.Odometer).OfType<ShownDistance>(),
        ServiceTaskFacts task => task.Done.Select(one => one.Odometer).OfType<ShownDistance>(),
        _ => [],
    };

    /// <summary>Wrong: it is left out. Right: those are left out that show more before it or less after it.</summary>
    private static IEnumerable<DueQuestion> Checked(DueQuestion q, string detail)
    {
        var all = q.Vehicle.Usage.Readings.Concat(ShownBy(q.Subject)).ToArray();
        var doubted = all.First(one => string.Create(
            System.Globalization.CultureInfo.InvariantCulture, $"{one.Value:#,0.###} km of {one.On:O}") == detail);
        yield return Without(q, one => one == doubted);
        yield return Without(q, one => one != doubted
            && (one.On <= doubted.On && one.Value > doubted.Value
                || one.On >= doubted.On && one.Value < doubted.Value));
    }

    private static DueQuestion Without(DueQuestion q, Func<ShownDistance, bool> wrong) => q with
    {
        Vehicle = q.Vehicle with
        {
            Usage = q.Vehicle.Usage with { Readings = [.. q.Vehicle.Usage.Readings.Where(one => !wrong(one))] },
        },
        Subject = q.Subject switch
        {
            ComponentFacts part => part with
            {
                Evidence = [.. part.Evidence.Select(one =>
                    one.Odometer is { } shown && wrong(shown) ? one with { Odometer = null } : one)],
            },
            ServiceTaskFacts task => task with
            {
                Done = [.. task.Done.Select(one =>
                    one.Odometer is { } shown && wrong(shown) ? one with { Odometer = null } : one)],
            },
            var other => other,
        },
    };

    private static DueQuestion Read(DueQuestion q, ShownDistance shown) => q with
    {
        Vehicle = q.Vehicle with
        {
            Usage = q.Vehicle.Usage with { Readings = [.. q.Vehicle.Usage.Readings, shown] },
        },
    };

    private static DueQuestion Closed(DueQuestion q, decimal value) =>
        Read(
            Read(q, Shown(q, new(2021, 1, 1), 0)),
            new(new(2020, 12, 31), value, DistanceUnit.Kilometre, "old")) is var read
            ? read with
            {
                Vehicle = read.Vehicle with
                {
                    Usage = read.Vehicle.Usage with
                    {
                        Instruments = [.. read.Vehicle.Usage.Instruments.Select(one =>
                            one.Id == "old" ? one with { RemovedOn = new(2021, 1, 1) } : one)],
                    },
                },
            }
            : q;

    private static ShownDistance Shown(DueQuestion q, DateOnly on, decimal value) =>
        new(on, value, DistanceUnit.Kilometre, q.Vehicle.Usage.Instruments is [.., var last] ? last.Id : null);

    private static decimal Last(DueQuestion q) => q.Vehicle.Usage.Readings is [.., var last] ? last.Value : 0;
}
