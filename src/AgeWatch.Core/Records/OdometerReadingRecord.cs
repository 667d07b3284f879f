using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Records;

/// <summary>What an odometer showed on a day.</summary>
public sealed record OdometerReadingRecord
{
    public required DateOnly On { get; init; }

    public required decimal Value { get; init; }

    /// <summary>Null: the instrument's.</summary>
    public required DistanceUnit? Unit { get; init; }

    /// <summary>Null: the one that was on the vehicle that day.</summary>
    public required string? Instrument { get; init; }

    /// <summary>What refuses it, empty: it can be written down.</summary>
    /// <param name="instruments">Of the vehicle; null: nothing is known of them.</param>
    /// <param name="latest">The latest day on which it can have been read.</param>
    public static IEnumerable<Refusal> Check(
        OdometerReadingRecord reading, IReadOnlyList<Odometer>? instruments, DateOnly latest)
    {
        List<Refusal> refusals =
        [
            .. PastDay.Check(reading.On, latest, nameof(On)),
            .. Shown.CheckDistance(reading.Value, nameof(Value)),
        ];

        // Which instruments there will be on a day to come nobody knows.
        return refusals.Count > 0 || instruments is null ? refusals : CheckInstrument(reading, instruments);
    }

    /// <summary>Those that can have shown it; a reading that can be written down has one.</summary>
    public static IReadOnlyList<Odometer> Possible(OdometerReadingRecord reading, IEnumerable<Odometer> instruments) =>
        [.. instruments.Where(i =>
            (reading.Instrument is null || i.Id == reading.Instrument)
            && !(i.FittedOn > reading.On)
            && !(i.RemovedOn < reading.On))];

    // A reading that cannot be on the instrument's drums is refused, not bent to fit.
    private static IEnumerable<Refusal> CheckInstrument(
        OdometerReadingRecord reading, IReadOnlyList<Odometer> instruments)
    {
        var ids = string.Join(", ", instruments.Select(i => $"\"{i.Id}\""));
        var possible = Possible(reading, instruments);
        if (possible.Count == 0)
        {
            yield return new(
                "no-such-instrument", nameof(Instrument),
                $"No such instrument was on the vehicle on {reading.On:yyyy-MM-dd}. The vehicle's instruments: {ids}.");
            yield break;
        }

        if (possible.Count > 1)
        {
            yield return new(
                "several-instruments", nameof(Instrument),
                $"Several instruments were on the vehicle that day; name one of {ids}.");
            yield break;
        }

        var instrument = possible[0];
        if (reading.Unit is { } unit && unit != instrument.Unit)
        {
            yield return new(
                "wrong-unit", nameof(Unit),
                $"The instrument \"{instrument.Id}\" shows {(instrument.Unit == DistanceUnit.Mile ? "mi" : "km")}. A "
                    + "reading is kept as the drums show it.");
        }
        else if (instrument.Digits is { } digits && reading.Value >= (decimal)Math.Pow(10, digits))
        {
            yield return new(
                "too-many-digits", nameof(Value),
                $"The instrument \"{instrument.Id}\" has {digits} digits and cannot show this. Tenths do not count.");
        }
    }
}
