using System.Globalization;

namespace AgeWatch.Core.Usage;

/// <summary>The readings of one odometer.</summary>
internal sealed class InstrumentReadings(Odometer odometer)
{
    public List<ShownDistance> Readings { get; } = [];

    private decimal? Modulus { get; } = odometer.Digits is { } digits
        ? Distance.Of((decimal)Math.Pow(10, digits), odometer.Unit).Kilometres
        : null;

    public static IReadOnlyList<InstrumentReadings> Sort(
        UsageFacts facts, DateOnly? knownOn, List<RefusedReading> refused)
    {
        InstrumentReadings[] all = facts.Instruments.Count > 0
            ? [.. facts.Instruments.Select(odometer => new InstrumentReadings(odometer))]
            : [.. facts.Readings.GroupBy(reading => reading.Instrument)
                .Select(
                    group => new InstrumentReadings(new Odometer { Id = group.Key ?? "", Unit = group.First().Unit }))];
        foreach (var reading in facts.Readings.Distinct())
        {
            if (reading.On > knownOn)
            {
                refused.Add(new(reading, RefusalReason.NotYet, null));
            }
            else if (Owner(all, reading) is not { } owner)
            {
                var named = reading.Instrument is not null
                    && facts.Instruments.All(odometer => odometer.Id != reading.Instrument);
                refused.Add(new(reading, named ? RefusalReason.NoSuchOdometer : RefusalReason.WhichOdometer, null));
            }
            else if (owner.Objection(reading) is { } objection)
            {
                refused.Add(new(reading, objection, null));
            }
            else
            {
                owner.Readings.Add(reading);
            }
        }

        foreach (var instrument in all)
        {
            instrument.Readings.Sort((a, b) => a.On != b.On
                ? a.On.CompareTo(b.On) : Kilometres(a).CompareTo(Kilometres(b)));
        }

        InstrumentReadings[] read = [.. all.Where(instrument => instrument.Readings.Count > 0)
            .OrderBy(instrument => instrument.Readings[0].On)
            .ThenBy(instrument => instrument.Readings[^1].On)];
        for (var i = 0; i + 1 < read.Length; i++)
        {
            read[i].EndWith(read[i + 1].Readings[0].On, refused);
        }

        return read;
    }

    /// <summary>The value shown, in kilometres.</summary>
    public static decimal Kilometres(ShownDistance reading) => Distance.Of(reading.Value, reading.Unit).Kilometres;

    /// <summary>Every believable step, the least first; empty when there is none.</summary>
    public List<(decimal Kilometres, int Rollovers)> Steps(
        ShownDistance from, ShownDistance to, decimal cap, bool strict)
    {
        List<(decimal, int)> steps = [];
        var days = Math.Max(1, to.On.DayNumber - from.On.DayNumber);
        var plain = Kilometres(to) - Kilometres(from);
        if (plain >= 0 && plain <= (strict ? cap : CanonicalDistance.HardCap) * days)
        {
            steps.Add((plain, 0));
        }

        if (Modulus is { } modulus)
        {
            for (var k = 1; plain + k * modulus <= cap * days && steps.Count < CanonicalDistance.MostTotals; k++)
            {
                if (plain + k * modulus >= 0)
                {
                    steps.Add((plain + k * modulus, k));
                }
            }
        }

        return steps;
    }

    /// <summary>The first of <see cref="Steps"/>, kilometres; null when there is none.</summary>
    private decimal? LeastStep(ShownDistance from, ShownDistance to, decimal cap, bool strict)
    {
        var days = Math.Max(1, to.On.DayNumber - from.On.DayNumber);
        var plain = Kilometres(to) - Kilometres(from);
        if (plain >= 0 && plain <= (strict ? cap : CanonicalDistance.HardCap) * days)
        {
            return plain;
        }

        if (Modulus is { } modulus)
        {
            for (var k = 1; plain + k * modulus <= cap * days; k++)
            {
                if (plain + k * modulus >= 0)
                {
                    return plain + k * modulus;
                }
            }
        }

        return null;
    }

    /// <summary>The longest run of readings that agree; the others are refused with the reason.</summary>
    /// <remarks>Of equally long runs the one with fewer unusual steps is kept, then the one that ends higher: it makes
    /// limits come sooner.</remarks>
    /// <param name="right">A reading that is taken to be right: what contradicts it is refused. Null: none is.</param>
    public List<ShownDistance> LongestRun(
        decimal cap, bool strict, List<RefusedReading> refused, ShownDistance? right = null)
    {
        var at = right is null ? -1 : Readings.IndexOf(right);
        var run = LongestOf(
            at < 0
                ? Readings
                : [.. Readings.Where((reading, i) => i == at
                    || LeastStep(i < at ? reading : right!, i < at ? right! : reading, cap, strict) is not null)],
            cap,
            strict);
        foreach (var reading in Readings)
        {
            if (!run.Contains(reading))
            {
                refused.Add(Refuse(reading, run, cap));
            }
        }

        return run;
    }

    private List<ShownDistance> LongestOf(List<ShownDistance> readings, decimal cap, bool strict)
    {
        var n = readings.Count;
        var best = new (int Length, int Unusual, decimal End, int Previous)[n];
        for (var j = 0; j < n; j++)
        {
            best[j] = (1, 0, Kilometres(readings[j]), -1);
            for (var i = 0; i < j; i++)
            {
                if (LeastStep(readings[i], readings[j], cap, strict) is not { } step)
                {
                    continue;
                }

                var days = Math.Max(1, readings[j].On.DayNumber - readings[i].On.DayNumber);
                var candidate = (
                    best[i].Length + 1, best[i].Unusual + (step > cap * days ? 1 : 0), best[i].End + step, i);
                if (Better(candidate, best[j]))
                {
                    best[j] = candidate;
                }
            }
        }

        var end = n - 1;
        for (var j = 0; j < n; j++)
        {
            if (Better(best[j], best[end]))
            {
                end = j;
            }
        }

        List<ShownDistance> run = [];
        for (var at = end; at >= 0; at = best[at].Previous)
        {
            run.Insert(0, readings[at]);
        }

        return run;
    }

    private static RefusedReading Refuse(ShownDistance reading, List<ShownDistance> run, decimal cap)
    {
        var before = run.LastOrDefault(kept => kept.On <= reading.On);
        var after = run.FirstOrDefault(kept => kept.On >= reading.On);
        var backwards = before is not null
            ? Kilometres(reading) < Kilometres(before)
            : after is not null && Kilometres(reading) > Kilometres(after);
        return new(
            reading,
            backwards || after is not null && Kilometres(reading) > Kilometres(after)
                ? RefusalReason.Backwards
                : RefusalReason.TooFar,
            Slip(reading, before, after, cap));
    }

    /// <summary>A slip of the pen that would make the reading fit between its neighbours.</summary>
    public static TypingSlip? Slip(ShownDistance reading, ShownDistance? before, ShownDistance? after, decimal cap)
    {
        var other = reading.Unit == DistanceUnit.Mile ? DistanceUnit.Kilometre : DistanceUnit.Mile;
        if (Fits(reading.Value, other))
        {
            return new(SlipKind.WrongUnit, reading.Value, other);
        }

        var figures = decimal.Truncate(reading.Value).ToString(CultureInfo.InvariantCulture).ToCharArray();
        var rest = reading.Value - decimal.Truncate(reading.Value);
        for (var i = 0; i + 1 < figures.Length; i++)
        {
            (figures[i], figures[i + 1]) = (figures[i + 1], figures[i]);
            var swapped = decimal.Parse(figures, NumberStyles.None, CultureInfo.InvariantCulture) + rest;
            if (swapped != reading.Value && Fits(swapped, reading.Unit))
            {
                return new(SlipKind.SwappedFigures, swapped, reading.Unit);
            }

            (figures[i], figures[i + 1]) = (figures[i + 1], figures[i]);
        }

        return null;

        bool Fits(decimal value, DistanceUnit unit)
        {
            var km = Distance.Of(value, unit).Kilometres;
            return (before is null || Between(Kilometres(before), km, before.On, reading.On))
                && (after is null || Between(km, Kilometres(after), reading.On, after.On))
                && (before ?? after) is not null;
        }

        bool Between(decimal from, decimal to, DateOnly fromOn, DateOnly toOn) =>
            to >= from && to - from <= cap * Math.Max(1, toOn.DayNumber - fromOn.DayNumber);
    }

    private static bool Better(
        (int Length, int Unusual, decimal End, int) a, (int Length, int Unusual, decimal End, int) b) =>
        a.Length != b.Length ? a.Length > b.Length : a.Unusual != b.Unusual ? a.Unusual < b.Unusual : a.End > b.End;

    private static InstrumentReadings? Owner(InstrumentReadings[] all, ShownDistance reading)
    {
        if (reading.Instrument is { } id)
        {
            return Array.Find(all, instrument => instrument.Id == id);
        }

        if (all.Length == 1 || all.FirstOrDefault(instrument => instrument.Id.Length == 0) is not null)
        {
            return Array.Find(all, instrument => instrument.Id.Length == 0) ?? all[0];
        }

        var fitting = all.Where(instrument => instrument.WasThere(reading.On)).ToArray();
        if (fitting.Length > 1)
        {
            fitting = [.. fitting.Where(instrument => instrument.Unit == reading.Unit)];
        }

        return fitting.Length == 1 ? fitting[0] : null;
    }

    private string Id => odometer.Id;

    private DistanceUnit Unit => odometer.Unit;

    private bool WasThere(DateOnly day) => !(day < odometer.FittedOn) && !(day > odometer.RemovedOn);

    private RefusalReason? Objection(ShownDistance reading) =>
        reading.Value < 0 ? RefusalReason.Negative
        : !WasThere(reading.On) ? RefusalReason.OutsideOdometer
        : Modulus is { } modulus && Kilometres(reading) >= modulus ? RefusalReason.BeyondDrums
        : null;

    private void EndWith(DateOnly successor, List<RefusedReading> refused)
    {
        foreach (var late in Readings.Where(reading => reading.On > successor).ToArray())
        {
            Readings.Remove(late);
            refused.Add(new(late, RefusalReason.OutsideOdometer, null));
        }
    }
}
