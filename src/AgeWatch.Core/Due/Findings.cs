using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.Due;

/// <summary>A finding with the grade that counts: the inspector's, or a worse one that a measured value asks
/// for.</summary>
/// <param name="Broken">The threshold that made it worse; null when none did.</param>
/// <param name="IsCompared">A measured value was held against a threshold.</param>
internal readonly record struct GradedFinding(
    Finding Finding, FindingGrade Grade, Threshold? Broken, bool IsCompared = false);

/// <summary>Grades findings and drops those that later work or a later look has answered.</summary>
/// <remarks>
/// A measured value on the wrong side of a threshold makes a finding at least fail. Where the country or the class that
/// would pick the threshold is not known, every one that may hold is tried: a value that breaks the mildest fails, one
/// that breaks only the strictest is to be watched, unless countries alone differ: then the strictest holds. A quantity
/// that the kind does not know is held against every threshold of its unit in the same way.
/// What was found bad ends by a pass of a later day; what a measured value failed only by a measured value that passes.
/// Work of the same day or later ends a failed part too, where the kind can be restored at all; it never ends what was
/// found unfit, for which comes first within a day is not on record, and work is no look. A task is the work itself:
/// done on a later day, the fluid or the grease that was unfit is no longer there.
/// </remarks>
internal static class Findings
{
    public static IReadOnlyList<GradedFinding> Grade(DueQuestion question, DateOnly? workDoneOn, DueTrail trail)
    {
        var findings = question.Subject.Findings;
        if (findings.Count == 0)
        {
            return [];
        }

        List<GradedFinding> known = new(findings.Count);
        foreach (var finding in findings)
        {
            if (!trail.SetAside(finding.On, finding: finding))
            {
                known.Add(GradeOf(finding, question, null));
            }
        }

        var isTask = question.Subject is ServiceTaskFacts;
        List<GradedFinding> graded = new(known.Count);
        foreach (var one in known)
        {
            if (workDoneOn is { } done && IsAnsweredByWork(one, done, isTask))
            {
                trail.Note(new(DueNoteCode.FindingAnswered, Finding: one.Finding, Days: DateSpan.Day(done)));
            }
            else if (PassedOn(one, known) is { } passed)
            {
                trail.Note(new(DueNoteCode.FindingPassedLater, Finding: one.Finding, Days: DateSpan.Day(passed)));
            }
            else
            {
                graded.Add(one.Finding.Measured is null ? one : GradeOf(one.Finding, question, trail));
            }
        }

        return graded;
    }

    private static bool IsAnsweredByWork(GradedFinding one, DateOnly done, bool isTask) =>
        one.Grade == FindingGrade.Unfit ? isTask && one.Finding.On < done : one.Finding.On <= done;

    private static DateOnly? PassedOn(GradedFinding bad, List<GradedFinding> known)
    {
        if (bad.Grade < FindingGrade.Fail)
        {
            return null;
        }

        DateOnly? first = null;
        foreach (var look in known)
        {
            if (look.Grade == FindingGrade.Pass
                && look.Finding.On > bad.Finding.On
                && !(look.Finding.On >= first)
                && (bad.Broken is null || look.IsCompared))
            {
                first = look.Finding.On;
            }
        }

        return first;
    }

    private static GradedFinding GradeOf(Finding finding, DueQuestion question, DueTrail? trail) =>
        finding.Measured is { } measured
            ? Compare(finding, measured, question, trail)
            : new(finding, finding.Grade, null);

    private static GradedFinding Compare(Finding finding, Measurement measured, DueQuestion question, DueTrail? trail)
    {
        var measures = question.Kind.Thresholds.Where(threshold => threshold.Use != ThresholdUse.Interval).ToArray();
        var named = Comparable(Named(measures, measured), measured);
        var isNamed = named.Length > 0;
        var candidates = Holding(isNamed ? named : Comparable(measures, measured), measured, question);
        Threshold? broken = null;
        HashSet<string?> kept = [];
        HashSet<string?> failed = [];
        foreach (var threshold in candidates)
        {
            var value = Units.Convert(measured.Value, measured.Unit, threshold.Unit)!.Value;

            // A scale only reads a value: at its low end the part is to be watched, nowhere is it failed.
            var bad = threshold.Use == ThresholdUse.Scale
                ? threshold.Comparison is Comparison.AtMost or Comparison.Below && threshold.Passes(value)
                : !threshold.Passes(value);
            (bad ? failed : kept).Add(isNamed ? threshold.Case : $"{threshold.Measure} {threshold.Case}");
            broken = bad && (broken is null || broken.Use == ThresholdUse.Scale) ? threshold : broken;
        }

        if (broken is null)
        {
            if (kept.Count == 0)
            {
                trail?.Note(new(DueNoteCode.NotCompared, Finding: finding));
            }

            return new(finding, finding.Grade, null, IsCompared: kept.Count > 0 && isNamed);
        }

        kept.ExceptWith(failed);
        var isOpen = kept.Count > 0 && (measured.Case is null || !isNamed);
        var watchOnly = broken.Use == ThresholdUse.Scale || isOpen;
        trail?.Note(new(watchOnly
            ? DueNoteCode.ThresholdNear
            : DueNoteCode.ThresholdBroken, Finding: finding, Detail: broken.Id));
        if (!isNamed)
        {
            trail?.Ask(new(
                DueAskCode.WhichQuantity,
                string.Join(", ", candidates.Select(threshold => threshold.Measure ?? threshold.Quantity).Distinct()))
            {
                Finding = finding,
            });
        }
        else if (watchOnly && broken.Use == ThresholdUse.Criterion)
        {
            trail?.Ask(new(DueAskCode.WhichCase, string.Join(", ", failed.Concat(kept))) { Finding = finding });
        }

        var grade = watchOnly ? FindingGrade.Watch : FindingGrade.Fail;
        return new(finding, finding.Grade > grade ? finding.Grade : grade, broken, IsCompared: true);
    }

    /// <summary>The thresholds of the quantity that was measured; a kind with only one needs no name.</summary>
    private static Threshold[] Named(Threshold[] measures, Measurement measured)
    {
        var measure = measured.Measure
            ?? (measures.Select(threshold => threshold.Measure).Distinct().Count() == 1 ? measures[0].Measure : null);
        return [.. measures.Where(threshold =>
            string.Equals(threshold.Measure, measure, StringComparison.OrdinalIgnoreCase)
            || string.Equals(threshold.Quantity, measure, StringComparison.OrdinalIgnoreCase))];
    }

    private static Threshold[] Comparable(Threshold[] thresholds, Measurement measured) =>
        [.. thresholds.Where(threshold => Units.Convert(measured.Value, measured.Unit, threshold.Unit) is not null)];

    /// <summary>The thresholds that may hold: of the class and the country, as far as these are known.</summary>
    private static Threshold[] Holding(Threshold[] measures, Measurement measured, DueQuestion question)
    {
        var classed = measures.Where(threshold =>
            measured.Case is null || threshold.Case is null
            || string.Equals(threshold.Case, measured.Case, StringComparison.OrdinalIgnoreCase)).ToArray();
        var inClass = classed.Length > 0 ? classed : measures;
        var here = inClass.Where(threshold =>
            Countries.Holds(threshold.Jurisdictions, question.Vehicle.Country)).ToArray();
        var holding = here.Length > 0 ? here : inClass;

        // Where only the country is open the classes are the same thing under two laws: the strictest decides alone.
        return holding.Select(threshold => threshold.Jurisdictions is [var first, ..] ? first : null)
            .Distinct()
            .Count() > 1
            ? [.. holding.Select(threshold => threshold with { Case = null })]
            : holding;
    }
}

/// <summary>Whether a rule holds in a country.</summary>
internal static class Countries
{
    private static readonly HashSet<string> Union = new(StringComparer.OrdinalIgnoreCase)
    {
        "AT", "BE", "BG", "HR", "CY", "CZ", "DK", "EE", "FI", "FR", "DE", "GR", "HU", "IE",
        "IT", "LV", "LT", "LU", "MT", "NL", "PL", "PT", "RO", "SK", "SI", "ES", "SE",
    };

    /// <param name="jurisdictions">ISO 3166-1 alpha-2 codes, or EU; empty: everywhere.</param>
    /// <param name="country">Null: not known, so it may hold.</param>
    public static bool Holds(IReadOnlyList<string> jurisdictions, string? country)
    {
        if (jurisdictions.Count == 0 || country is null)
        {
            return true;
        }

        foreach (var jurisdiction in jurisdictions)
        {
            if (string.Equals(jurisdiction, country, StringComparison.OrdinalIgnoreCase)
                || jurisdiction == "EU" && Union.Contains(country))
            {
                return true;
            }
        }

        return false;
    }
}

/// <summary>The few units that workshop measurements come in.</summary>
internal static class Units
{
    /// <summary>1 in = 25.4 mm exactly; Fahrenheit to Celsius exactly; null when the two units do not measure the
    /// same.</summary>
    public static decimal? Convert(decimal value, string from, string to)
    {
        if (string.Equals(from.Trim(), to.Trim(), StringComparison.OrdinalIgnoreCase))
        {
            return value;
        }

        var (a, inBase) = Base(value, from);
        var (b, one) = Base(1, to);
        var (_, zero) = Base(0, to);
        return a is null || a != b ? null : (inBase - zero) / (one - zero);
    }

    private static (string? Dimension, decimal Value) Base(decimal value, string unit) =>
        unit.Trim().ToUpperInvariant() switch
        {
            "MM" => ("length", value),
            "CM" => ("length", value * 10),
            "IN" or "INCH" or "\"" => ("length", value * 25.4m),
            "32NDS" or "1/32 IN" or "32ND" => ("length", value * 25.4m / 32),
            "C" or "°C" => ("temperature", value),
            "F" or "°F" => ("temperature", (value - 32) * 5 / 9),
            "V" => ("voltage", value),
            "MV" => ("voltage", value / 1000),
            "RATIO" => ("ratio", value),
            "%" => ("ratio", value / 100),
            _ => (null, value),
        };
}
